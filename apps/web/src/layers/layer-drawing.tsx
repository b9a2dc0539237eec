import { useId } from 'react';
import type { Ensemble, LayerState, Site, ZonePicture } from '../api.js';
import { inWords, LAYER_STATE_WORDS, REACHED_WORDS } from '../words.js';
import { BODY_PLAN, PLAN, type ZonePlan } from './body-plan.js';
import { outlinePath } from './outline.js';

/** Distance between two nested layers, in drawing units. */
const SPACING = 8.5;
/** How wide a gap a total breach leaves, in degrees. */
const GAP = 56;

function wedge([x, y]: readonly [number, number], gapAt: number, isRight: boolean): string {
  const middle = isRight ? 360 - gapAt : gapAt;
  const far = (degrees: number) => {
    const angle = ((degrees - 90) * Math.PI) / 180;
    return `${(x + 400 * Math.cos(angle)).toFixed(1)} ${(y + 400 * Math.sin(angle)).toFixed(1)}`;
  };
  return `M${x} ${y}L${far(middle - GAP / 2)}L${far(middle + GAP / 2)}Z`;
}

function Zone({
  plan,
  picture,
  marked,
  maskId,
  hatch,
}: {
  plan: ZonePlan;
  picture: ZonePicture | undefined;
  marked: readonly string[];
  maskId: string;
  hatch: string;
}) {
  // A layer that is off, or not yet on, is gone from the drawing.
  const worn = (picture?.layers ?? []).filter(({ state }) => state !== 'off' && state !== 'not-on-yet');
  const skin = plan.pieces.map((piece) => outlinePath(piece, 0)).join('');
  return (
    <g className="zone" data-zone={plan.zone} data-reached={picture?.reached ?? 'no'}>
      {worn.some(({ state }) => state === 'total') && (
        <mask id={maskId} maskUnits="userSpaceOnUse" x="0" y="0" width={PLAN.width} height={PLAN.height}>
          <rect width={PLAN.width} height={PLAN.height} fill="white" />
          {plan.centres.map((centre) => (
            <path
              key={centre.join()}
              d={wedge(centre, plan.gapAt, plan.centres.length > 1 && centre[0] > PLAN.width / 2)}
              fill="black"
            />
          ))}
        </mask>
      )}
      {worn.map(({ layer, state }, index) => {
        const outline = plan.pieces.map((piece) => outlinePath(piece, (worn.length - index) * SPACING)).join('');
        return (
          <g key={layer} className="ply" data-state={state} data-marked={marked.includes(layer) || undefined}>
            <path className="ply-line" d={outline} mask={state === 'total' ? `url(#${maskId})` : undefined} />
            <path className="ply-fill" d={outline} />
          </g>
        );
      })}
      <path className="skin-line" d={skin} />
      <path className="skin-fill" d={skin} />
      {picture && picture.reached !== 'no' && <path className="skin-hatch" d={skin} fill={hatch} />}
    </g>
  );
}

/** Every layer whole, as the ensemble is worn: the drawing before anything is told. */
export function wornWhole(ensemble: Ensemble): ZonePicture[] {
  return BODY_PLAN.map(({ zone }) => ({
    zone,
    layers: ensemble.layers
      .filter((layer) => layer.zones.includes(zone))
      .map((layer) => ({ layer: layer.id, state: 'intact' as LayerState })),
    reached: 'no',
  }));
}

/** One sentence a zone that something could have reached, for those who do not see the drawing. */
export function pictureInWords(zones: readonly ZonePicture[], ensemble: Ensemble | undefined, site: Site): string[] {
  const nameOf = (id: string) => ensemble?.layers.find((layer) => layer.id === id)?.name ?? id;
  return zones
    .filter(({ layers, reached }) => reached !== 'no' || layers.some(({ state }) => state !== 'intact'))
    .map(({ zone, layers, reached }) => {
      const each = layers.map(({ layer, state }) => `${nameOf(layer)} ${LAYER_STATE_WORDS[state]}`).join(', ');
      return `${inWords(site.form.zones, zone)}: ${each || 'no layer'}; ${REACHED_WORDS[reached]}.`;
    });
}

/**
 * The body with the ensemble as nested lines round each zone: whole is a solid line, partly breached a dashed one, fully
 * breached a gap, not looked at a dotted one, taken off is gone. Skin that could have been reached is hatched.
 */
export function LayerDrawing({
  zones,
  marked = [],
  label,
}: {
  zones: readonly ZonePicture[];
  /** Layers to draw heavier, because they are being pointed at. */
  marked?: readonly string[];
  label: string;
}) {
  const id = useId();
  return (
    <svg className="layer-drawing" viewBox={`0 0 ${PLAN.width} ${PLAN.height}`} role="img" aria-label={label}>
      <defs>
        <pattern id={`${id}hatch`} width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path d="M0 0V7" className="hatch-line" />
        </pattern>
      </defs>
      {BODY_PLAN.map((plan) => (
        <Zone
          key={plan.zone}
          plan={plan}
          picture={zones.find(({ zone }) => zone === plan.zone)}
          marked={marked}
          maskId={`${id}${plan.zone}`}
          hatch={`url(#${id}hatch)`}
        />
      ))}
    </svg>
  );
}

/** What each kind of line means; stands beside every drawing. */
export function DrawingKey() {
  const kinds = [
    ['intact', 'whole'],
    ['partial', 'partly breached'],
    ['total', 'fully breached'],
    ['unknown', 'not looked at'],
  ] as const;
  return (
    <ul className="drawing-key" aria-label="How to read the drawing">
      {kinds.map(([state, words]) => (
        <li key={state}>
          <svg viewBox="0 0 48 10" aria-hidden="true" className="ply" data-state={state}>
            {state === 'total' ? (
              <path className="ply-line" d="M2 5H14M34 5H46" />
            ) : (
              <path className="ply-line" d="M2 5H46" />
            )}
          </svg>
          {words}
        </li>
      ))}
      <li>
        <svg viewBox="0 0 48 14" aria-hidden="true">
          <path className="hatch-line" d="M4 13L16 1M14 13L26 1M24 13L36 1M34 13L46 1" />
        </svg>
        could have been reached
      </li>
    </ul>
  );
}
