/** Windows beside the recorder's. Where the shell is a browser the page opens them itself, and this command says so. */
import { z } from 'zod';

function result<Value>(): { readonly type?: Value } {
  return {};
}

export const windowContract = {
  /** Electron only: shows the second window, for the wall or the participant, on this session; it never takes the focus. */
  'window.wall': { input: z.object({ session: z.string().regex(/^[a-z0-9-]{6,60}$/) }), result: result<{ readonly opened: boolean }>() },
} as const;
