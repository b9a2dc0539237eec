import { useQuery } from '@tanstack/react-query';
import { api, type Plan, type Reading, type Site } from '../../api.js';
import { Moment } from '../../shell/moment.js';
import { Refusal } from '../../shell/refusal.js';
import { inWords, TERNARY_WORDS } from '../../words.js';
import { TemperatureStrip } from './temperature-strip.js';

const UNIT_SIGNS: Readonly<Record<Reading['unit'], string>> = { Cel: '°C', '[degF]': '°F' };

/** The readings of one follow-up against its threshold: drawn, and as a table that says the same. */
export function Readings({ plan, site }: { plan: Plan; site: Site }) {
  const readings = useQuery({ queryKey: ['readings', plan.planId], queryFn: () => api.readings(plan.planId) });
  const items = [...(readings.data?.items ?? [])].sort((a, b) => Date.parse(b.at) - Date.parse(a.at));
  return (
    <div>
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
          <div className="table-scroll">
            <table>
              <caption>Readings, newest first (n = {items.length})</caption>
              <thead>
                <tr>
                  <th scope="col">When</th>
                  <th scope="col" className="number">
                    Temperature
                  </th>
                  <th scope="col">Measured at</th>
                  <th scope="col">Against fever</th>
                  <th scope="col">Symptoms</th>
                </tr>
              </thead>
              <tbody>
                {items.map((reading) => (
                  <tr key={reading.readingId}>
                    <td>
                      <Moment at={reading.at} timeZone={plan.timeZone} />
                    </td>
                    <td className={reading.judgement.alert ? 'number act-now' : 'number'}>
                      {reading.value === null ? 'not measured' : `${reading.value} ${UNIT_SIGNS[reading.unit]}`}
                      {reading.judgement.alert && ' – alert'}
                    </td>
                    <td>{inWords(site.form.measurementSites, reading.measurementSite)}</td>
                    <td>{TERNARY_WORDS[reading.antipyreticTaken]}</td>
                    <td>
                      {reading.symptoms.length === 0
                        ? 'none told'
                        : reading.symptoms
                            .map((code) => plan.symptoms.find((symptom) => symptom.code === code)?.words ?? code)
                            .join(', ')}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </>
      )}
    </div>
  );
}
