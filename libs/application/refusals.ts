import { DomainError, type RefusalDetail } from '#domain';

/** The same answer for what is absent and for what is not the reader's to see. */
export class NotFound extends DomainError {
  constructor(what: string, detail: RefusalDetail = {}) {
    super('not-found', `There is no such ${what}.`, detail);
  }
}

/** The role may not do this at all, whatever the object. */
export class Forbidden extends DomainError {
  constructor(message = 'This role may not do this.') {
    super('forbidden', message);
  }
}

/** Nobody decides, acknowledges, closes, signs or releases their own case. */
export class OwnCase extends DomainError {
  constructor() {
    super('own-case', 'This is your own case: a colleague has to do this.', { accepted: 'another nurse' });
  }
}

/** Login or password did not match; which of the two is not said. */
export class SignInRefused extends DomainError {
  constructor() {
    super('sign-in-refused', 'Login and password do not match.');
  }
}

/** The one-time link for setting up is another one, was used, or is too old. */
export class SetupRefused extends DomainError {
  constructor() {
    super('setup-refused', 'This set-up link is not valid, or not any more.', {
      pointer: '/token',
      accepted: 'the token of the link that the service printed at its last start',
    });
  }
}

/** The object has moved on since the version that the request is based on. */
export class StaleVersion extends DomainError {
  constructor(current: number) {
    super('stale-version', 'This has changed since it was read.', { accepted: `the current version, ${current}` });
  }
}

/** The object is not in a state in which this can be done. */
export class Conflict extends DomainError {
  constructor(message: string, detail: RefusalDetail = {}) {
    super('conflict', message, detail);
  }
}

/** An answer that cannot be taken; the pointer names it and `accepted` says what could be. */
export class UnacceptableEntry extends DomainError {
  constructor(message: string, detail: RefusalDetail & { readonly pointer: string; readonly accepted: string }) {
    super('unacceptable-answer', message, detail);
  }
}

/** Unlikely but possible: kept once the same entry comes again with `confirmed: true`. */
export class NeedsConfirmation extends DomainError {
  constructor(message: string, pointer: string) {
    super('needs-confirmation', message, {
      pointer,
      accepted: 'the same entry again with "confirmed": true, or a corrected one',
    });
  }
}

/** The key was used before for a request with another content. */
export class IdempotencyKeyReused extends DomainError {
  constructor() {
    super('idempotency-key-reused', 'This Idempotency-Key was used for another request.', {
      accepted: 'a new key for a new request, or the same body as before',
    });
  }
}

/** No decision before two identifiers say that the right person is on the line. */
export class IdentityNotConfirmed extends DomainError {
  constructor() {
    super('identity-not-confirmed', 'The identity of the wearer is not confirmed yet.', {
      accepted: 'two identifiers first, at /identity-confirmations of the incident',
    });
  }
}

/** An identifier is not the one on record. The message does not repeat either. */
export class IdentityMismatch extends DomainError {
  constructor(pointer: string, accepted: string) {
    super('identity-mismatch', 'This identifier is not the one on record.', { pointer, accepted });
  }
}

/** Below the interim category, or before the window's end, one signature is not enough. */
export class SecondClinicianNeeded extends DomainError {
  constructor(message: string) {
    super('second-clinician-needed', message, {
      pointer: '/secondClinician',
      accepted: 'login and password of another nurse of this site, who is not the wearer',
    });
  }
}

/** The second signature does not hold. */
export class SecondClinicianRefused extends DomainError {
  constructor(message: string) {
    super('second-clinician-refused', message, {
      pointer: '/secondClinician',
      accepted: 'login and password of another nurse of this site, who is not the wearer',
    });
  }
}

/** A release needs the signed decision that it ends. */
export class NotDetermined extends DomainError {
  constructor() {
    super('not-determined', 'There is no signed determination yet.', { accepted: 'a determination first' });
  }
}

/** The window is not over. */
export class WindowOpen extends DomainError {
  constructor(lastDay: string) {
    super('window-open', 'The follow-up window is not over.', {
      pointer: '/early',
      accepted: `a day after ${lastDay}, or a reason and a second clinician`,
    });
  }
}

/** Nobody is released while a reading or a symptom waits for a human. */
export class AlertOpen extends DomainError {
  constructor() {
    super('alert-open', 'An alert about a reading or a symptom is still open.', {
      accepted: 'an outcome recorded for every open alert of this person first',
    });
  }
}
