/**
 * The loopback shell's three answers: the window's files, a command, and the stream of changes. On Node's own HTTP server,
 * since it is three routes and nothing else of the program starts before it.
 */
import type { IncomingMessage, RequestListener, ServerResponse } from 'node:http';
import type { CommandName, RecordChange } from '../../core/contract/contract.ts';
import { failure, type Result } from '../../core/result.ts';
import { isToken, refuseRequest } from '../policy/loopback-request.ts';
import { windowFile } from '../policy/window-files.ts';

export const TOKEN_HEADER = 'x-stagecall-token';
/** A line at least this often, so that a window knows a silent station from a quiet one. */
export const HEARTBEAT_MS = 1_000;
/** A window that does not read what it is sent is let go; it comes back and reads on. */
const MOST_UNREAD = 1024 * 1024;

const MEGABYTE = 1024 * 1024;
/** Largest command, in bytes. The desk takes a whole class's files at once. */
const bodyLimits: { readonly [Name in CommandName]?: number } & { readonly other: number } = {
  'record.append': 4 * MEGABYTE,
  'desk.mark': 300 * MEGABYTE,
  'set.add-files': 300 * MEGABYTE,
  'set.merge': 200 * MEGABYTE,
  // Keys, rosters, and a day's moderation at once.
  'set.append': 8 * MEGABYTE,
  'set.create': 4 * MEGABYTE,
  // Eight million characters at most (core/gas/kept-series.ts), which may take two bytes each.
  'series.put': 20 * MEGABYTE,
  other: MEGABYTE,
};
/** So much more is read and thrown away, so that the sender hears the answer instead of a broken line. */
const MOST_THROWN_AWAY = 100 * MEGABYTE;

/** What answers behind the server: a station, or the reason why there is none. */
export interface Answering {
  call(name: string, input: unknown): Promise<Result<unknown>>;
  subscribe(listener: (change: RecordChange) => void): () => void;
}

export interface LoopbackOptions {
  /** The server may listen before the station is open; what is asked meanwhile waits for it. */
  readonly answering: Answering | Promise<Answering>;
  readonly token: string;
  /** Known only once the server listens. */
  port(): number;
  /** The built window. */
  readonly windowFolder: string;
  /** Told how many windows are listening, whenever that changes. */
  readonly windows?: (count: number) => void;
}

/** Answers the window’s requests on 127.0.0.1; every request is checked by the policy first. */
export function loopbackApp(options: LoopbackOptions): RequestListener {
  let windows = 0;
  const countWindows = (by: 1 | -1): void => options.windows?.((windows += by));
  return (request, response) => {
    answerRequest(options, countWindows, request, response).catch((cause: unknown) => {
      process.stderr.write(`stagecall: ${request.method} ${request.url?.split('?')[0]}: ${(cause as Error).stack ?? String(cause)}\n`);
      if (!response.headersSent) plain(response, 500, 'Something went wrong inside the program.');
      else response.destroy();
    });
  };
}

async function answerRequest(
  options: LoopbackOptions,
  countWindows: (by: 1 | -1) => void,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const header = (name: string): string | undefined => {
    const value = request.headers[name];
    return Array.isArray(value) ? value[0] : value;
  };
  const refused = refuseRequest({ host: header('host'), origin: header('origin'), fetchSite: header('sec-fetch-site') }, options.port());
  if (refused !== undefined) return plain(response, 403, refused);
  const pathname = (request.url ?? '/').split('?', 1)[0] ?? '/';
  const command = /^\/call\/([a-z.-]{1,60})$/.exec(pathname)?.[1];
  if (command !== undefined || pathname === '/changes') {
    if (!isToken(header(TOKEN_HEADER), options.token)) {
      return json(response, 401, failure('no-token', 'This window does not belong to the running station. Open it again with npm start.'));
    }
    if (command === undefined) return streamChanges(options, countWindows, response);
    if (request.method === 'POST') return answerCommand(options, command, request, response);
  }
  if (request.method !== 'GET' && request.method !== 'HEAD') return plain(response, 405, 'There is nothing to be done at this address.');
  const { status, headers, body } = await windowFile(options.windowFolder, pathname);
  response.writeHead(status, { ...headers, 'content-length': body.length }).end(request.method === 'HEAD' ? undefined : body);
}

async function answerCommand(
  { answering }: LoopbackOptions,
  name: string,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const body = await readBody(request, bodyLimits[name as CommandName] ?? bodyLimits.other);
  if (body === undefined)
    return json(
      response,
      413,
      failure('too-large', 'Not saved: it is too large. Everything before it was kept. Shorten it and send it again.'),
    );
  let input: unknown;
  try {
    input = JSON.parse(body.toString('utf8'));
  } catch {
    return json(response, 200, failure('bad-input', 'The entry did not arrive whole. Nothing was saved of it; send it again.'));
  }
  const station = await answering;
  json(response, 200, await station.call(name, input));
}

/** @returns undefined for a body that is larger than the limit. @throws when the sender breaks off. */
async function readBody(request: IncomingMessage, limit: number): Promise<Buffer | undefined> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of request as AsyncIterable<Buffer>) {
    size += chunk.length;
    if (size <= limit) chunks.push(chunk);
    else chunks.length = 0;
    if (size > limit + MOST_THROWN_AWAY) break;
  }
  return size <= limit ? Buffer.concat(chunks) : undefined;
}

/** One line a change, `{}` as heartbeat. */
async function streamChanges({ answering }: LoopbackOptions, countWindows: (by: 1 | -1) => void, response: ServerResponse): Promise<void> {
  response.writeHead(200, { 'content-type': 'application/x-ndjson', 'cache-control': 'no-store' });
  const line = (value: object): void => {
    if (response.writableLength > MOST_UNREAD) response.destroy();
    else response.write(`${JSON.stringify(value)}\n`);
  };
  const beat = setInterval(() => line({}), HEARTBEAT_MS);
  let leave = (): void => {};
  countWindows(1);
  response.once('close', () => {
    clearInterval(beat);
    leave();
    countWindows(-1);
  });
  line({});
  const station = await answering;
  if (!response.destroyed) leave = station.subscribe((change) => line({ change }));
}

function json(response: ServerResponse, status: number, result: Result<unknown>): void {
  response
    .writeHead(status, {
      'content-type': 'application/json; charset=utf-8',
      'cache-control': 'no-store',
      'x-content-type-options': 'nosniff',
    })
    .end(JSON.stringify(result));
}

function plain(response: ServerResponse, status: number, text: string): void {
  response
    .writeHead(status, { 'content-type': 'text/plain; charset=utf-8', 'cache-control': 'no-store', 'x-content-type-options': 'nosniff' })
    .end(text);
}
