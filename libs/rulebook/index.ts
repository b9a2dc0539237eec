export { loadRulebook, plannedCategory, Rulebook, type Agent, type DefaultGoverning } from './rulebook.js';
export { bodyFluidOf, factsOf, type ReportedContent, type ReportedFacts } from './facts-of.js';
export type { FirstAidStep } from './first-aid.js';
export type { Question } from './reading/read-vocabulary.js';
export { RulebookDefect, UnknownEnsemble, UnknownProfile, UnknownTable } from './refusals.js';
export { canonicalHash, hashEvidence, hashTable, hashTexts } from './table-hash.js';
