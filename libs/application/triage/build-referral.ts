import type { Ensemble } from '#domain';
import type { ReferralLetter } from '../ports/letters.js';
import type { Rulebook } from '../ports/rulebook.js';
import type { Transaction } from '../ports/unit-of-work.js';
import type { LetterRecord, PlanRecord } from '../records/followup.js';
import type { IncidentRecord, TellingRecord } from '../records/incident.js';
import type { SiteSettings } from '../records/people.js';
import { NotFound } from '../refusals.js';
import { advise, type Advice } from '../reporting/advise.js';

const QUESTION =
  'Please see this person: confirm the category of the exposure and the follow-up, say whether prophylaxis should be ' +
  'offered, what work is permitted until then, and when to be seen again.';

/** What was told in the first minutes, in the order in which it was read. */
function adviceWords({ firstAid, removal, untilAsked }: Advice): readonly string[] {
  return [
    ...firstAid.map(({ words, minutes }) => (minutes === null ? words : `${words} (${minutes} minutes)`)),
    ...removal.rule,
    ...removal.exceptions,
    ...untilAsked.map(({ words }) => words),
  ];
}

function accountOf(tellings: readonly TellingRecord[]): string | null {
  const texts = tellings.flatMap(({ account }) => (account === null ? [] : [account]));
  return texts.length === 0 ? null : texts.join('\n\n');
}

function planOf(rulebook: Rulebook, record: PlanRecord | null): ReferralLetter['plan'] {
  if (record === null) return null;
  const { plan } = record;
  const [first = ''] = plan.profiles;
  const { window } = rulebook.profile(first);
  const [windowSource] = window.sources;
  if (!windowSource) throw new TypeError('A window of the rulebook has no source.');
  return {
    dayZero: plan.dayZero,
    lastDay: plan.lastDay,
    timeZone: plan.timeZone,
    restrictions: plan.restrictions.map(({ words }) => words),
    regime: plan.regime,
    windowSource,
    windowGrade: window.grade,
  };
}

interface LetterParts {
  readonly settings: SiteSettings;
  readonly ensemble: Ensemble;
}

function adviceFor(
  rulebook: Rulebook,
  { settings, ensemble }: LetterParts,
  content: IncidentRecord['content'],
  { barrier, assessment }: Pick<ReferralLetter, 'barrier' | 'assessment'>,
): readonly string[] {
  return adviceWords(
    advise({
      settings,
      ensemble,
      content,
      routes: barrier.routes,
      assessment,
      firstAid: rulebook.firstAid(barrier.routes),
      questions: rulebook.questions,
    }),
  );
}

/**
 * The referral as the incident stands now. It holds nothing of its reader, so that the wearer's draft and the nurse's
 * signature are about the same content.
 */
export async function buildReferral(
  tx: Transaction,
  rulebook: Rulebook,
  incident: IncidentRecord,
  { letterId, paper }: Pick<LetterRecord, 'letterId' | 'paper'>,
  signature: ReferralLetter['signature'],
): Promise<ReferralLetter> {
  const { incidentId, personId, content } = incident;
  const site = await tx.site.read();
  const units = await tx.site.units();
  const person = await tx.people.find(personId);
  const identity = (await tx.people.identities([personId])).get(personId);
  const standing = (await tx.incidents.standings([incidentId])).get(incidentId);
  if (person === null || identity === undefined || standing === undefined) throw new NotFound('incident');
  const tellings = await tx.incidents.tellings(incidentId);
  const { assessment, determination } = standing;
  const { barrier, result } = assessment;
  const ensemble = rulebook.ensemble(incident.ensembleId, incident.ensembleVersion);
  return {
    letterId,
    incidentId,
    revision: incident.revision,
    siteName: site.name,
    unitName: units.find(({ unitId }) => unitId === incident.unitId)?.name ?? '',
    occupationalHealth: site.settings.occupationalHealth,
    emergency: site.settings.emergency,
    wearer: {
      name: identity.name,
      staffNumber: identity.staffNumber,
      job: person.job,
      telephone: identity.telephone,
    },
    buddy: tellings.findLast(({ buddy }) => buddy !== null)?.buddy ?? null,
    reportedAt: incident.reportedAt,
    content,
    agentName: rulebook.agents().find(({ code }) => code === content.agent)?.name ?? content.agent,
    account: accountOf(tellings),
    ensemble,
    barrier,
    assessment: result,
    factWords: rulebook.questions,
    determination: determination && {
      category: determination.category,
      departs: determination.departs,
      reason: determination.reason,
      signedBy: determination.signedByName ?? 'Occupational health',
      secondClinician: determination.secondClinician && (determination.secondClinicianName ?? 'a second clinician'),
      at: determination.at,
    },
    plan: planOf(rulebook, await tx.plans.findByIncident(incidentId)),
    adviceGiven: adviceFor(rulebook, { settings: site.settings, ensemble }, content, { barrier, assessment: result }),
    question: QUESTION,
    signature,
    paper,
  };
}
