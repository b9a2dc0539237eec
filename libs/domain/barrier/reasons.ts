import type { Ternary } from '../decision/table.js';
import type { Zone } from './ensemble.js';
import { ROUTES, type Happening, type Route, type RouteFacts } from './happening.js';
import { mayBePuncture, type LayerAtTheTime } from './layers-at-the-time.js';
import { respiratoryLayers, SKIN_ZONES } from './routes.js';
import type { ZoneReach } from './zone-reach.js';

const ZONE_WORDS: Readonly<Record<Zone, string>> = {
  hands: 'hands',
  forearms: 'forearms',
  trunk: 'trunk',
  legs: 'legs',
  feet: 'feet',
  neck: 'neck',
  head: 'head',
  face: 'face',
  eyes: 'eyes',
  mouthNose: 'mouth and nose',
};

/** One plain sentence for each route that is not "no", in the order of `ROUTES`. */
export function reasonsFor(
  routes: RouteFacts,
  reaches: readonly ZoneReach[],
  layers: readonly LayerAtTheTime[],
  happening: Happening,
): readonly string[] {
  const why: Readonly<Record<Route, () => string>> = {
    percutaneous: () => percutaneousReason(routes.percutaneous, layers, happening),
    mucosaEye: () => contactReason('The eyes', routes.mucosaEye, atZones(reaches, ['eyes']), happening),
    mucosaMouthNose: () =>
      contactReason('Mouth and nose', routes.mucosaMouthNose, atZones(reaches, ['mouthNose']), happening),
    brokenSkin: () => brokenSkinReason(routes, happening),
    intactSkin: () => contactReason('Skin', routes.intactSkin, atZones(reaches, SKIN_ZONES), happening),
    inhalation: () => inhalationReason(routes.inhalation, respiratoryLayers(reaches)),
    clothingOnly: () =>
      routes.clothingOnly === 'yes'
        ? 'Something wet or soiled came through a garment; what lay under it held.'
        : 'Clothing may have been reached without the skin: not every garment was found whole.',
  };
  return ROUTES.filter((route) => routes[route] !== 'no').map((route) => why[route]());
}

function atZones(reaches: readonly ZoneReach[], zones: readonly Zone[]): readonly ZoneReach[] {
  return reaches.filter(({ zone }) => zones.includes(zone));
}

function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** "Outer gloves" within a sentence, but "FFP3 respirator" as it stands. */
function layerWords({ layer }: LayerAtTheTime): string {
  return /^[A-Z][a-z]/.test(layer.name) ? layer.name.charAt(0).toLowerCase() + layer.name.slice(1) : layer.name;
}

function stateWords(at: LayerAtTheTime): string | null {
  const name = layerWords(at);
  switch (at.state) {
    case 'total':
      return at.breaches.some(({ extent }) => extent === 'total')
        ? `${name} failed`
        : `${name} failed, how far is not known`;
    case 'partial':
      return `${name} failed in part`;
    case 'off':
      return `${name} off`;
    case 'not-on-yet':
      return `${name} not on yet`;
    case 'unknown':
      return `${name} not known to be whole`;
    case 'intact':
      return null;
  }
}

function zoneWords({ seen, layers }: ZoneReach): string {
  if (seen) return 'as seen';
  const states = layers.map(stateWords).filter((words) => words !== null);
  return states.length > 0 ? states.join('; ') : 'no layer of the ensemble covers it';
}

function contactReason(subject: string, answer: Ternary, reaches: readonly ZoneReach[], happening: Happening): string {
  const worst = reaches.filter(({ route }) => route === answer);
  const grouped = Map.groupBy(worst, zoneWords);
  const places = [...grouped].map(([words, zones]) =>
    reaches.length === 1 ? words : `${listed(zones.map(({ zone }) => ZONE_WORDS[zone]))} (${words})`,
  );
  const where = places.length > 0 ? places.join(', ') : 'wet or cut skin was seen, nobody said where';
  if (answer === 'yes') return `${subject} could have been reached: ${where}.`;
  const unsaid = happening.fluid === 'unknown' ? ' Nobody said whether anything wet or soiled was there.' : '';
  return `${subject}: contact cannot be ruled out: ${where}.${unsaid}`;
}

function percutaneousReason(answer: Ternary, layers: readonly LayerAtTheTime[], { seen }: Happening): string {
  if (answer === 'yes') return 'A sharp went through the skin: a sharps injury was seen.';
  if (seen.skinCut === 'yes') return 'A sharp cannot be ruled out: a cut was seen.';
  const punctured = layers.filter(({ breaches }) => breaches.some(mayBePuncture));
  const unsaid = seen.sharpsInjury === 'unknown' ? 'nobody said whether there was a sharps injury' : null;
  const holed =
    punctured.length > 0
      ? `${listed(punctured.map(layerWords))} may have been punctured, and a needle's hole is not seen by looking`
      : null;
  return `A sharp cannot be ruled out: ${[holed, unsaid].filter((words) => words !== null).join('; ')}.`;
}

function brokenSkinReason(routes: RouteFacts, { seen }: Happening): string {
  const skin = routes.intactSkin === 'yes' ? 'skin could have been reached' : 'contact with skin cannot be ruled out';
  const broken =
    seen.skinCut === 'yes'
      ? 'a cut was seen'
      : seen.brokenSkinBefore === 'yes'
        ? 'it was broken before'
        : 'nobody said that it was whole';
  return `Broken skin: ${skin}, and ${broken}.`;
}

function inhalationReason(answer: Ternary, respiratory: readonly LayerAtTheTime[]): string {
  const states = respiratory.map(stateWords).filter((words) => words !== null);
  const where = states.length > 0 ? states.join('; ') : 'the ensemble has no respirator';
  return answer === 'yes' ? `The airway was open: ${where}.` : `Breathing it in cannot be ruled out: ${where}.`;
}
