/** What a bare server is told to do: the rows of one accepted report by table, in an order in which keys hold. */
export interface BareTask {
  readonly url: string;
  /** `guarded` writes as `rows` does, under the row security that the service writes under. */
  readonly kind: 'rows' | 'guarded' | 'single';
  readonly rows: Readonly<Record<string, readonly unknown[]>>;
  /** Ids that each report has of its own. */
  readonly freshIds: readonly string[];
  readonly columns: Readonly<Record<string, readonly string[]>>;
  readonly context: { readonly siteId: string; readonly accountId: string; readonly personId: string };
  /** The body that the service answered with. */
  readonly answer: unknown;
}
