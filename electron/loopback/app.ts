/** The loopback shell's three answers: the window's files, a command, and the stream of changes. */
import { Hono, type Context } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import type { CommandName, Handlers, RecordChange } from '../../core/contract/contract.ts';
import { failure, type Result } from '../../core/result.ts';
import { isToken, refuseRequest } from '../policy/loopback-request.ts';
import { windowFile } from '../policy/window-files.ts';
import { dispatch } from '../station/dispatch.ts';

export const TOKEN_HEADER = 'x-stagecall-token';
/** A line at least this often, so that a window knows a silent station from a quiet one. */
export const HEARTBEAT_MS = 1_000;

const MEGABYTE = 1024 * 1024;
/** Largest command, in bytes. The desk takes a whole class's files at once. */
export const bodyLimits: { readonly [Name in CommandName]?: number } & { readonly other: number } = {
  'record.append': 4 * MEGABYTE,
  'desk.mark': 300 * MEGABYTE,
  other: MEGABYTE,
};

export interface LoopbackOptions {
  readonly handlers: Handlers;
  subscribe(listener: (change: RecordChange) => void): () => void;
  readonly token: string;
  /** Known only once the server listens. */
  port(): number;
  /** The built window. */
  readonly windowFolder: string;
  /** Told how many windows are listening, whenever that changes. */
  readonly windows?: (count: number) => void;
}

export function loopbackApp(options: LoopbackOptions): Hono {
  const app = new Hono();
  let windows = 0;
  const countWindows = (by: 1 | -1): void => options.windows?.((windows += by));

  app.use(async (context, next) => {
    const header = (name: string): string | undefined => context.req.header(name);
    const refused = refuseRequest({ host: header('host'), origin: header('origin'), fetchSite: header('sec-fetch-site') }, options.port());
    if (refused !== undefined) return context.text(refused, 403);
    return next();
  });
  const withToken = async (context: Context, next: () => Promise<void>): Promise<Response | void> => {
    if (isToken(context.req.header(TOKEN_HEADER), options.token)) return next();
    return context.json(failure('no-token', 'This window does not belong to the running station. Open it again with npm start.'), 401);
  };
  const sized = bodyLimit({ maxSize: bodyLimits['record.append'] ?? bodyLimits.other, onError: tooLarge });
  const sizedForDesk = bodyLimit({ maxSize: bodyLimits['desk.mark'] ?? bodyLimits.other, onError: tooLarge });

  app.post('/call/:name', withToken, (context, next) => (context.req.param('name') === 'desk.mark' ? sizedForDesk : sized)(context, next), async (context) => {
    const name = context.req.param('name') ?? '';
    let input: unknown;
    try {
      input = await context.req.json();
    } catch {
      return answer(context, failure('bad-input', 'The entry did not arrive whole. Nothing was saved of it; send it again.'));
    }
    return answer(context, await dispatch(options.handlers, name, input));
  });

  app.get('/changes', withToken, () => new Response(changeStream(options.subscribe, countWindows), { headers: { 'content-type': 'application/x-ndjson', 'cache-control': 'no-store' } }));

  app.get('*', async (context) => {
    const { status, headers, body } = await windowFile(options.windowFolder, new URL(context.req.url).pathname);
    return new Response(body, { status, headers });
  });
  return app;
}

function answer(context: Context, result: Result<unknown>): Response {
  context.header('cache-control', 'no-store');
  return context.json(result);
}

function tooLarge(context: Context): Response {
  return context.json(failure('too-large', 'Not saved: it is too large. Everything before it was kept. Shorten it and send it again.'), 413);
}

/** One line a change, `{}` as heartbeat. */
function changeStream(subscribe: LoopbackOptions['subscribe'], countWindows: (by: 1 | -1) => void): ReadableStream<Uint8Array> {
  const encoder = new TextEncoder();
  let end = (): void => {};
  return new ReadableStream({
    start(controller) {
      const line = (value: object): void => controller.enqueue(encoder.encode(`${JSON.stringify(value)}\n`));
      const leave = subscribe((change) => line({ change }));
      const beat = setInterval(() => line({}), HEARTBEAT_MS);
      countWindows(1);
      end = () => {
        clearInterval(beat);
        leave();
        countWindows(-1);
        end = () => {};
      };
      line({});
    },
    cancel: () => end(),
  });
}
