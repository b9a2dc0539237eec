import { AccountEntity, AccountLoginEntity } from './account.entity.js';
import { AlertEntity, AlertTextEntity } from './alert.entity.js';
import { AssessmentEntity, DeterminationEntity, DeterminationTextEntity } from './assessment.entity.js';
import { DutyStatusEntity } from './duty-status.entity.js';
import { IdempotencyReplayEntity } from './idempotency-replay.entity.js';
import {
  EventEntity,
  IncidentBreachEntity,
  IncidentEntity,
  IncidentLapseEntity,
  ReportReceiptEntity,
} from './incident.entity.js';
import { LedgerEntryEntity } from './ledger-entry.entity.js';
import { LetterEntity, LetterPdfEntity } from './letter.entity.js';
import { OutboxEntity } from './outbox.entity.js';
import { PersonEntity, PersonIdentityEntity, PersonKeyEntity, PersonNameEntity } from './person.entity.js';
import { PlanCheckEntity, PlanEntity, PlanReleaseEntity } from './plan.entity.js';
import { PpeUseEntity } from './ppe-use.entity.js';
import { ReadingEntity } from './reading.entity.js';
import { LocalConfirmationEntity, SiteEntity, SiteKeyEntity, UnitEntity } from './site.entity.js';
import { SourceEntity, SourceStatusEntity } from './source.entity.js';
import { TellingEntity, TellingTextEntity } from './telling.entity.js';

/** Every table that the service maps. Sessions are not among them: they are reached through functions only. */
export const entities = [
  SiteEntity,
  SiteKeyEntity,
  UnitEntity,
  LocalConfirmationEntity,
  PersonEntity,
  PersonKeyEntity,
  PersonIdentityEntity,
  PersonNameEntity,
  AccountEntity,
  AccountLoginEntity,
  EventEntity,
  SourceEntity,
  SourceStatusEntity,
  ReportReceiptEntity,
  IncidentEntity,
  IncidentBreachEntity,
  IncidentLapseEntity,
  TellingEntity,
  TellingTextEntity,
  AssessmentEntity,
  DeterminationEntity,
  DeterminationTextEntity,
  PpeUseEntity,
  PlanEntity,
  PlanCheckEntity,
  PlanReleaseEntity,
  ReadingEntity,
  AlertEntity,
  AlertTextEntity,
  DutyStatusEntity,
  LetterEntity,
  LetterPdfEntity,
  OutboxEntity,
  IdempotencyReplayEntity,
  LedgerEntryEntity,
];
