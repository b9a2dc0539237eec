import { useState } from 'react';
import { Form } from 'react-aria-components/Form';
import { ActButton } from '../../shell/act-button.js';
import { api, type Settings, type SettingsChange } from '../../api.js';
import { useAct } from '../../shell/act.js';
import { TextEntry } from '../../shell/fields.js';
import { faultAt, Refusal, withoutFields } from '../../shell/refusal.js';

interface Typed {
  readonly emergencyWords: string;
  readonly emergencyTelephone: string;
  readonly occupationalHealthTelephone: string;
  readonly occupationalHealthEmail: string;
  readonly onCallTelephone: string;
  readonly morningFrom: string;
  readonly morningUntil: string;
  readonly eveningFrom: string;
  readonly eveningUntil: string;
  readonly graceMinutes: string;
  readonly pauseMinutes: string;
}

function typedOf(settings: Settings): Typed {
  return {
    emergencyWords: settings.emergency.words,
    emergencyTelephone: settings.emergency.telephone,
    occupationalHealthTelephone: settings.occupationalHealth.telephone,
    occupationalHealthEmail: settings.occupationalHealth.email,
    onCallTelephone: settings.onCallClinician?.telephone ?? '',
    morningFrom: settings.readingBands.morning.from,
    morningUntil: settings.readingBands.morning.until,
    eveningFrom: settings.readingBands.evening.from,
    eveningUntil: settings.readingBands.evening.until,
    graceMinutes: String(settings.readingGraceMinutes),
    pauseMinutes: String(settings.acknowledgementPauseMinutes),
  };
}

function changeOf(typed: Typed): SettingsChange {
  return {
    emergency: { words: typed.emergencyWords, telephone: typed.emergencyTelephone },
    occupationalHealth: { telephone: typed.occupationalHealthTelephone, email: typed.occupationalHealthEmail },
    onCallClinician: typed.onCallTelephone.trim() ? { telephone: typed.onCallTelephone } : null,
    readingBands: {
      morning: { from: typed.morningFrom, until: typed.morningUntil },
      evening: { from: typed.eveningFrom, until: typed.eveningUntil },
    },
    readingGraceMinutes: Number(typed.graceMinutes),
    acknowledgementPauseMinutes: Number(typed.pauseMinutes),
  };
}

/** The numbers at the top of every page, and when readings are asked for. */
export function SettingsPart({ settings }: { settings: Settings }) {
  const [typed, setTyped] = useState(() => typedOf(settings));
  const change = useAct((next: SettingsChange) => api.changeSettings(next), { changes: [['site']] });
  const entry = (
    field: keyof Typed,
    label: string,
    pointer: string,
    more: Pick<Parameters<typeof TextEntry>[0], 'type' | 'inputMode' | 'help'> = {},
  ) => (
    <TextEntry
      label={label}
      value={typed[field]}
      onChange={(value) => setTyped({ ...typed, [field]: value })}
      fault={faultAt(change.error, pointer)}
      {...more}
    />
  );
  return (
    <section aria-labelledby="settings-heading">
      <h2 id="settings-heading">Whom to call, and when to ask</h2>
      <Form
        className="inset"
        onSubmit={(event) => {
          event.preventDefault();
          change.mutate(changeOf(typed));
        }}
      >
        <div className="side-by-side">
          {entry('emergencyWords', 'Emergency: words', '/emergency/words', { help: 'Stand first on every page' })}
          {entry('emergencyTelephone', 'Emergency: number', '/emergency/telephone', { type: 'tel' })}
        </div>
        <div className="side-by-side">
          {entry('occupationalHealthTelephone', 'Occupational health: number', '/occupationalHealth/telephone', {
            type: 'tel',
          })}
          {entry('occupationalHealthEmail', 'Occupational health: mail', '/occupationalHealth/email', {
            type: 'email',
          })}
        </div>
        {entry('onCallTelephone', 'On-call clinician: number', '/onCallClinician', {
          type: 'tel',
          help: 'Empty when there is none; mail wakes nobody',
        })}
        <div className="side-by-side">
          {entry('morningFrom', 'Morning reading from', '/readingBands/morning/from', { type: 'time' })}
          {entry('morningUntil', 'Morning reading until', '/readingBands/morning/until', { type: 'time' })}
        </div>
        <div className="side-by-side">
          {entry('eveningFrom', 'Evening reading from', '/readingBands/evening/from', { type: 'time' })}
          {entry('eveningUntil', 'Evening reading until', '/readingBands/evening/until', { type: 'time' })}
        </div>
        <div className="side-by-side">
          {entry('graceMinutes', 'Minutes until a missing reading is an alert', '/readingGraceMinutes', {
            inputMode: 'numeric',
          })}
          {entry('pauseMinutes', 'Minutes that “I am on it” pauses an alert', '/acknowledgementPauseMinutes', {
            inputMode: 'numeric',
          })}
        </div>
        <Refusal
          error={withoutFields(change.error, [
            '/emergency',
            '/occupationalHealth',
            '/onCallClinician',
            '/readingBands',
            '/readingGraceMinutes',
            '/acknowledgementPauseMinutes',
          ])}
        />
        {change.data && (
          <div role="status">
            <p>Kept.</p>
            {change.data.warnings.length > 0 && (
              <ul className="waits">
                {change.data.warnings.map((warning) => (
                  <li key={warning}>{warning}</li>
                ))}
              </ul>
            )}
          </div>
        )}
        <ActButton type="submit" isBusy={change.isPending}>
          Keep these settings
        </ActButton>
      </Form>
    </section>
  );
}
