import type { Assessment, BarrierPicture, Ensemble, EvidenceGrade, Source } from '#domain';
import type { IncidentContent } from '../records/incident.js';

/** Everything that stands in a referral to occupational health; a pure value, so equal models give equal bytes. */
export interface ReferralLetter {
  readonly letterId: string;
  readonly incidentId: string;
  readonly revision: number;
  readonly siteName: string;
  readonly unitName: string;
  readonly occupationalHealth: { readonly telephone: string; readonly email: string };
  readonly emergency: { readonly words: string; readonly telephone: string };
  readonly wearer: {
    readonly name: string;
    readonly staffNumber: string;
    readonly job: string;
    readonly telephone: string | null;
  };
  readonly buddy: string | null;
  readonly reportedAt: string;
  readonly content: IncidentContent;
  readonly agentName: string;
  readonly account: string | null;
  readonly ensemble: Ensemble;
  readonly barrier: BarrierPicture;
  readonly assessment: Assessment;
  /** The rulebook's wording of the facts, so that the letter asks and answers as the form did; a fact without it is named by its code. */
  readonly factWords?: Readonly<
    Record<string, { readonly question: string; readonly values?: Readonly<Record<string, string>> }>
  >;
  readonly determination: {
    readonly category: string;
    readonly departs: boolean;
    readonly reason: string | null;
    readonly signedBy: string;
    /** Who signed with them, where a second signature was required. */
    readonly secondClinician: string | null;
    readonly at: string;
  } | null;
  readonly plan: {
    readonly dayZero: string;
    readonly lastDay: string;
    readonly timeZone: string;
    readonly restrictions: readonly string[];
    readonly regime: string;
    readonly windowSource: Source;
    readonly windowGrade: EvidenceGrade;
  } | null;
  readonly adviceGiven: readonly string[];
  readonly question: string;
  /** Absent until signed: then the letter carries a draft mark. */
  readonly signature: { readonly name: string; readonly at: string } | null;
  readonly paper: 'A4' | 'LETTER';
}

export abstract class LetterWriter {
  /** SHA-256, hexadecimal, over the canonical model without its signature. */
  abstract contentHash(letter: ReferralLetter): string;
  /** A tagged PDF; the same model gives the same bytes. */
  abstract write(letter: ReferralLetter): Promise<Uint8Array>;
}
