/** One place or phase in the line at the top. */
export interface Tab {
  readonly id: string;
  readonly label: string;
  readonly done?: boolean;
  readonly current?: boolean;
  /** Why it cannot be opened yet, in words. */
  readonly closed?: string;
}
