import type { Plan, Reading } from '../../api.js';
import { useNow } from '../../shell/now.js';
import { dateInWords, wallClock } from '../../time-words.js';

const WIDTH = 720;
const HEIGHT = 150;
const EDGE = 44;

/** For the drawing alone: what counts as a fever is decided by the service, exactly and in the unit it was read in. */
function celsiusForDrawing(value: string, unit: Reading['unit']): number {
  return unit === 'Cel' ? Number(value) : ((Number(value) - 32) * 5) / 9;
}

/** Temperatures over the days of the window, with the threshold as a line; the table beside it says the same. */
export function TemperatureStrip({ readings, plan }: { readings: readonly Reading[]; plan: Plan }) {
  const now = useNow();
  const points = readings
    .filter((reading) => reading.value !== null)
    .map((reading) => ({
      at: Date.parse(reading.at),
      value: celsiusForDrawing(reading.value ?? '', reading.unit),
      alert: reading.judgement.alert !== null,
      id: reading.readingId,
    }));
  const lines = plan.thresholds.map(({ value, unit }) => celsiusForDrawing(value, unit));
  const values = [...points.map(({ value }) => value), ...lines, 36];
  const low = Math.min(...values) - 0.4;
  const high = Math.max(...values) + 0.4;
  const from = Date.parse(`${plan.dayZero}T00:00:00Z`);
  const until = Date.parse(`${plan.lastDay}T23:59:59Z`);
  const x = (at: number) => EDGE + ((at - from) / (until - from)) * (WIDTH - EDGE - 8);
  const y = (value: number) => 10 + ((high - value) / (high - low)) * (HEIGHT - 34);
  return (
    <svg
      className="temperature-strip"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      role="img"
      aria-label="Temperatures against the threshold; the table below says the same."
    >
      <path className="strip-line" d={`M${EDGE} ${HEIGHT - 24}H${WIDTH - 8}`} />
      {lines.map((line) => (
        <g key={line}>
          <path className="strip-threshold" d={`M${EDGE} ${y(line)}H${WIDTH - 8}`} />
          <text x={EDGE - 6} y={y(line) + 5} textAnchor="end">
            {line.toFixed(1)}
          </text>
        </g>
      ))}
      <text x={EDGE} y={HEIGHT - 6}>
        Day 0, {dateInWords(plan.dayZero)}
      </text>
      <text x={WIDTH - 8} y={HEIGHT - 6} textAnchor="end">
        Last day, {dateInWords(plan.lastDay)}
      </text>
      <path
        className="strip-now"
        d={`M${x(Date.parse(`${wallClock(now, plan.timeZone).date}T12:00:00Z`))} 4V${HEIGHT - 24}`}
      />
      {points.map(({ id, at, value, alert }) =>
        alert ? (
          <path key={id} className="strip-alert" d={`M${x(at)} ${y(value) - 8}l8 8l-8 8l-8 -8z`} />
        ) : (
          <circle key={id} className="strip-point" cx={x(at)} cy={y(value)} r="5" />
        ),
      )}
    </svg>
  );
}
