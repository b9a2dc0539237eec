export interface ReadinessReport {
  readonly database: boolean;
  /** Setting and value, as the database says them. */
  readonly durability: Readonly<Record<string, string>>;
  readonly warnings: readonly string[];
}

/** Whether requests can be served, and how durable an acknowledgement is. */
export abstract class Readiness {
  abstract report(): Promise<ReadinessReport>;
  /** Throws when a start has to be refused. */
  abstract require(): Promise<void>;
}
