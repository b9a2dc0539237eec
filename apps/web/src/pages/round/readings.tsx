import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { Button } from 'react-aria-components/Button';
import { api, type Plan, type Reading, type Site } from '../../api.js';
import { Moment } from '../../shell/moment.js';
import { Records } from '../../shell/records.js';
import { Refusal } from '../../shell/refusal.js';
import { inWords, TERNARY_WORDS } from '../../words.js';
import { TemperatureStrip } from './temperature-strip.js';

/** Three days of two readings each, and one more. */
const FIRST = 7;

const UNIT_SIGNS: Readonly<Record<Reading['unit'], string>> = { Cel: '°C', '[degF]': '°F' };

/** The readings of one follow-up against its threshold: drawn, and as a table that says the same. */
export function Readings({ plan, site }: { plan: Plan; site: Site }) {
  const readings = useQuery({ queryKey: ['readings', plan.planId], queryFn: () => api.readings(plan.planId) });
  const items = [...(readings.data?.items ?? [])].sort((a, b) => Date.parse(b.at) - Date.parse(a.at));
  const [isWhole, setWhole] = useState(false);
  const shown = isWhole ? items : items.slice(0, FIRST);
  return (
    <div className="readings">
      <Refusal error={readings.error} />
      {readings.isPending && <p role="status">Reading the temperatures</p>}
      {readings.data && items.length === 0 && <p>No reading was entered yet.</p>}
      <p className="soft">
        {plan.thresholds.length === 0
          ? 'No threshold is set.'
          : plan.thresholds
              .map(
                ({ value, unit, operator, readings: count }) =>
                  `A fever is ${operator === '>=' ? 'at or above' : 'above'} ${value} ${UNIT_SIGNS[unit]}${count > 1 ? `, ${count} readings in a row` : ''}`,
              )
              .join('; ')}
      </p>
      {items.length > 0 && (
        <>
          <TemperatureStrip readings={items} plan={plan} />
          <Records
            caption={`Readings, newest first (n = ${items.length})`}
            columns={[
              { name: 'When' },
              { name: 'Temperature', isNumber: true },
              { name: 'Measured at' },
              { name: 'Against fever' },
              { name: 'Symptoms' },
            ]}
            rows={shown.map((reading) => ({
              key: reading.readingId,
              cells: [
                <Moment key="when" at={reading.at} timeZone={plan.timeZone} />,
                <span key="value" className={reading.judgement.alert ? 'act-now' : undefined}>
                  {reading.value === null ? 'not measured' : `${reading.value} ${UNIT_SIGNS[reading.unit]}`}
                  {reading.judgement.alert && ' – alert'}
                </span>,
                inWords(site.form.measurementSites, reading.measurementSite),
                TERNARY_WORDS[reading.antipyreticTaken],
                reading.symptoms.length === 0
                  ? 'none told'
                  : reading.symptoms
                      .map((code) => plan.symptoms.find((symptom) => symptom.code === code)?.words ?? code)
                      .join(', '),
              ],
            }))}
          />
          {items.length > FIRST && !isWhole && (
            <Button className="quiet" onPress={() => setWhole(true)}>
              Show all {items.length} readings
            </Button>
          )}
        </>
      )}
    </div>
  );
}
