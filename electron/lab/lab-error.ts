/** What the verbs share: the terminal they speak to, and the one way in which they fail. */

export interface Terminal {
  /** Results: stdout. */
  out(text: string): void;
  /** One line to the person: stderr. */
  say(line: string): void;
  /** Paths are meant from here. */
  readonly folder: string;
  readonly isTerminal: boolean;
}

export interface Invocation {
  readonly options: Readonly<Record<string, string | boolean | undefined>>;
  readonly operands: readonly string[];
  readonly terminal: Terminal;
}

export interface Verb {
  readonly summary: string;
  readonly help: string;
  readonly options: Readonly<Record<string, { readonly type: 'string' | 'boolean' }>>;
  /** @returns the exit code. @throws {LabError} */
  run(invocation: Invocation): Promise<number>;
}

/** An expected failure: its message is all that the person needs. */
export class LabError extends Error {
  readonly exitCode: number;
  constructor(message: string, exitCode = 1) {
    super(message);
    this.exitCode = exitCode;
  }
}

/** The value of an option that has to be there. */
export function needed(invocation: Invocation, option: string, what: string): string {
  const value = invocation.options[option];
  if (typeof value !== 'string' || value === '') throw new LabError(`--${option} ${what} is missing`, 2);
  return value;
}
