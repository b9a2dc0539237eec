import { useState } from 'react';
import { Button } from 'react-aria-components/Button';
import { Form } from 'react-aria-components/Form';
import { ActButton } from '../../shell/act-button.js';
import { api, Problem, type Plan, type ReadingBody, type Site, type TemperatureUnit, type Ternary } from '../../api.js';
import { useAct } from '../../shell/act.js';
import { Choice, Several, TextEntry } from '../../shell/fields.js';
import { Telephone } from '../../shell/lifeline.js';
import { faultAt, Refusal, withoutFields } from '../../shell/refusal.js';
import { instantOf, wallClock } from '../../time-words.js';
import { TERNARY_WORDS } from '../../words.js';

type MeasurementSite = ReadingBody['measurementSite'];

const TERNARY: readonly (readonly [Ternary, string])[] = [
  ['no', TERNARY_WORDS.no],
  ['yes', TERNARY_WORDS.yes],
  ['unknown', TERNARY_WORDS.unknown],
];

/** One reading: the temperature as read off and the symptoms. An implausible value is asked again and kept if it stands. */
export function ReadingEntry({ plan, site, whose }: { plan: Plan; site: Site; whose: string | null }) {
  const [value, setValue] = useState('');
  const [unit, setUnit] = useState<TemperatureUnit>('Cel');
  const [measurementSite, setMeasurementSite] = useState<MeasurementSite>();
  const [antipyreticTaken, setAntipyreticTaken] = useState<Ternary>();
  const [feltFever, setFeltFever] = useState<Ternary>();
  const [hasSymptoms, setHasSymptoms] = useState<'none' | 'some'>();
  const [symptoms, setSymptoms] = useState<string[]>([]);
  const [otherTime, setOtherTime] = useState(false);
  const [{ date, time }, setWhen] = useState(() => wallClock(Date.now(), plan.timeZone));
  const [missed, setMissed] = useState<Readonly<Record<string, string>>>({});
  const record = useAct((body: ReadingBody, key) => api.recordReading(body, key), {
    changes: [['plans'], ['readings', plan.planId], ['incident'], ['incidents'], ['alerts']],
    onDone: () => {
      setValue('');
      setAntipyreticTaken(undefined);
      setFeltFever(undefined);
      setHasSymptoms(undefined);
      setSymptoms([]);
      setOtherTime(false);
    },
  });
  const doubt = record.error instanceof Problem && record.error.code === 'needs-confirmation' ? record.error : null;

  const send = (confirmed: boolean) => {
    const at = otherTime ? instantOf(date, time, plan.timeZone) : new Date().toISOString();
    const faults: Record<string, string> = {};
    if (!at) faults.at = 'Give a date and a time that the clock there shows.';
    if (!value.trim() && hasSymptoms === undefined) faults.value = 'Give a temperature, or say how you feel below.';
    if (value.trim() && !measurementSite)
      faults.measurementSite = 'Say where it was measured, or that it is not known.';
    if (hasSymptoms === undefined) faults.symptoms = 'Say whether there is any of these.';
    setMissed(faults);
    if (!at || Object.keys(faults).length > 0) return;
    record.mutate({
      planId: plan.planId,
      at,
      timeZone: plan.timeZone,
      value: value.trim() ? value.trim().replace(',', '.') : null,
      unit,
      measurementSite: measurementSite ?? 'not-known',
      ...(antipyreticTaken ? { antipyreticTaken } : {}),
      ...(feltFever ? { feltFever } : {}),
      symptoms: hasSymptoms === 'some' ? symptoms : [],
      ...(confirmed ? { confirmed } : {}),
    });
  };

  return (
    <Form
      className="inset reading-entry"
      onSubmit={(event) => {
        event.preventDefault();
        send(false);
      }}
    >
      <h3>{whose ? `Enter a reading for ${whose}` : 'Enter your reading'}</h3>
      <div className="side-by-side">
        <TextEntry
          label="Temperature"
          inputMode="decimal"
          help="As the thermometer shows it"
          value={value}
          onChange={setValue}
          fault={missed.value ?? faultAt(record.error, '/value')}
        />
        <Choice<TemperatureUnit>
          label="Unit"
          value={unit}
          onChange={setUnit}
          options={[
            ['Cel', '°C'],
            ['[degF]', '°F'],
          ]}
          fault={faultAt(record.error, '/unit')}
        />
      </div>
      <Choice<MeasurementSite>
        label="Measured at"
        value={measurementSite}
        onChange={setMeasurementSite}
        options={site.form.measurementSites.map(({ code, words }) => [code as MeasurementSite, words] as const)}
        fault={missed.measurementSite ?? faultAt(record.error, '/measurementSite')}
      />
      <Choice<Ternary>
        label="Something against fever taken in the last hours"
        help="Paracetamol, ibuprofen and the like"
        value={antipyreticTaken}
        onChange={setAntipyreticTaken}
        options={TERNARY}
      />
      <Choice<Ternary> label="Felt feverish" value={feltFever} onChange={setFeltFever} options={TERNARY} />
      <Choice
        label="Any of these now"
        help={plan.symptoms.map(({ words }) => words).join(', ')}
        value={hasSymptoms}
        onChange={setHasSymptoms}
        options={[
          ['none', 'None of these'],
          ['some', 'Yes'],
        ]}
        fault={missed.symptoms}
      />
      {hasSymptoms === 'some' && (
        <Several
          label="Which"
          value={symptoms}
          onChange={setSymptoms}
          options={plan.symptoms.map(({ code, words }) => [code, words] as const)}
          fault={faultAt(record.error, '/symptoms')}
        />
      )}
      {otherTime ? (
        <div className="side-by-side">
          <TextEntry
            label="Time"
            type="time"
            help={`On the clock of ${plan.timeZone}`}
            value={time}
            onChange={(next) => setWhen({ date, time: next })}
            fault={missed.at ?? faultAt(record.error, '/at')}
          />
          <TextEntry label="Day" type="date" value={date} onChange={(next) => setWhen({ date: next, time })} />
        </div>
      ) : (
        <p>
          Measured now.{' '}
          <Button className="quiet" onPress={() => setOtherTime(true)}>
            It was at another time
          </Button>
        </p>
      )}
      {doubt ? (
        <div role="alert" className="refusal">
          <p>Please look again: {doubt.detail || doubt.title}</p>
          <p>
            <ActButton type="submit">Send what stands above now</ActButton>
            <ActButton isSecond onPress={() => send(true)}>
              It is right: keep {value} {unit === 'Cel' ? '°C' : '°F'}
            </ActButton>
          </p>
        </div>
      ) : (
        <>
          <Refusal error={withoutFields(record.error, ['/value', '/unit', '/measurementSite', '/symptoms', '/at'])} />
          <ActButton type="submit" isBusy={record.isPending}>
            Keep this reading
          </ActButton>
        </>
      )}
      {record.data && <Judged answer={record.data} />}
    </Form>
  );
}

function Judged({ answer }: { answer: Awaited<ReturnType<typeof api.recordReading>> }) {
  const { judgement, advice } = answer;
  return (
    <div role="status" className={judgement.alert ? 'judged judged-alert' : 'judged'}>
      <p>
        <strong>The reading is kept.</strong>{' '}
        {judgement.alert
          ? 'Occupational health is told.'
          : judgement.reassuring
            ? 'It is below the threshold.'
            : 'It counts as taken, but not as reassuring.'}
      </p>
      {judgement.reasons.length > 0 && (
        <ul>
          {judgement.reasons.map((reason) => (
            <li key={reason}>{reason}</li>
          ))}
        </ul>
      )}
      {advice && (
        <>
          <ol className="until-asked">
            {advice.actions.map((action) => (
              <li key={action}>{action}</li>
            ))}
          </ol>
          <p>
            Occupational health <Telephone number={advice.occupationalHealth.telephone} />
          </p>
        </>
      )}
    </div>
  );
}
