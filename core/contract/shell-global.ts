/** The one global that a shell with a preload puts into the window, under this name; the loopback shell has none. */
export const SHELL_GLOBAL = 'stagecallShell';

/** Plain functions only: nothing else crosses the bridge. */
export interface ShellGlobal {
  /** Answers with a `Result` of the named command. The shell keeps unanswered commands and sends them again itself. */
  call(name: string, input: unknown): Promise<unknown>;
  /** `changed` is called with a `RecordChange`, `connected` when the station was lost or found. @returns how to stop. */
  subscribe(changed: (change: unknown) => void, connected: (state: boolean) => void): () => void;
}
