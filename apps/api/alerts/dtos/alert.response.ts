import { ALERT_KINDS, ALERT_OUTCOMES, type AlertKind, type AlertOutcome } from '#application';
import {
  ChoiceField,
  IdField,
  InstantField,
  PartField,
  PartListField,
  WordsField,
  TextListField,
} from '../../edge/fields.js';
import { WearerResponse } from '../../people/dtos/wearer.response.js';

/** Something that waits for a human. Only a recorded outcome closes it. */
export class AlertResponse {
  @IdField()
  readonly alertId!: string;

  @ChoiceField(ALERT_KINDS)
  readonly kind!: AlertKind;

  @IdField()
  readonly incidentId!: string;

  @IdField({ nullable: true })
  readonly planId!: string | null;

  @WordsField({ nullable: true })
  readonly checkKey!: string | null;

  @TextListField()
  readonly reasons!: readonly string[];

  @InstantField()
  readonly raisedAt!: string;

  @IdField({ nullable: true })
  readonly acknowledgedBy!: string | null;

  @InstantField({ nullable: true })
  readonly acknowledgedAt!: string | null;

  @InstantField({ nullable: true })
  readonly pausedUntil!: string | null;

  @ChoiceField(ALERT_OUTCOMES, { nullable: true })
  readonly outcome!: AlertOutcome | null;

  @IdField({ nullable: true })
  readonly closedBy!: string | null;

  @InstantField({ nullable: true })
  readonly closedAt!: string | null;
}

export class ListedAlertResponse extends AlertResponse {
  @PartField(() => WearerResponse, { description: 'Whom to telephone.' })
  readonly wearer!: WearerResponse;
}

export class AlertListResponse {
  @PartListField(() => ListedAlertResponse)
  readonly items!: readonly ListedAlertResponse[];
}

export class ClosedAlertResponse {
  @IdField()
  readonly alertId!: string;

  @ChoiceField(ALERT_OUTCOMES)
  readonly outcome!: AlertOutcome;

  @InstantField()
  readonly closedAt!: string;
}

export class AcknowledgementResponse {
  @IdField()
  readonly alertId!: string;

  @InstantField({ description: 'Until then the alert does not climb further.' })
  readonly pausedUntil!: string;
}
