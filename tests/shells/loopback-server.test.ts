/** What the loopback server answers, and to whom. */
import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { request } from 'node:http';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loopbackApp, TOKEN_HEADER } from '../../electron/loopback/app.ts';
import { listen, type Listening } from '../../electron/loopback/listen.ts';
import { isToken, refuseRequest } from '../../electron/policy/loopback-request.ts';
import { windowFileName } from '../../electron/policy/window-files.ts';
import { testStation, type TestStation } from '../store/test-station.ts';
import { tempFolder } from './temp-folder.ts';

const { folder, remove } = tempFolder();
const token = 'secret-secret-secret-secret-secret-secret-0';
let listening: Listening;
let station: TestStation;
let windows = 0;

beforeAll(async () => {
  mkdirSync(path.join(folder, 'window', 'assets'), { recursive: true });
  writeFileSync(path.join(folder, 'window', 'index.html'), '<!doctype html><title>Stagecall</title>');
  writeFileSync(path.join(folder, 'window', 'assets', 'a-1234.js'), 'export {}');
  writeFileSync(path.join(folder, 'window', '.hidden.html'), 'hidden');
  writeFileSync(path.join(folder, 'secret.html'), 'outside');
  symlinkSync(path.join(folder, 'secret.html'), path.join(folder, 'window', 'link.html'));
  station = testStation();
  listening = await listen(
    (port) =>
      loopbackApp({
        answering: station.answering,
        token,
        port,
        windowFolder: path.join(folder, 'window'),
        windows: (count) => (windows = count),
      }),
    [0],
  );
});
afterAll(() => {
  listening.close();
  station.stop();
  remove();
});

/** Node's plain client, since `fetch` sets some of these headers itself. */
function ask(
  target: string,
  headers: Readonly<Record<string, string>> = {},
  body?: string,
): Promise<{ status: number; headers: NodeJS.Dict<string | string[]>; text: string }> {
  return new Promise((resolve, reject) => {
    const asked = request(
      { host: '127.0.0.1', port: listening.port, path: target, method: body === undefined ? 'GET' : 'POST', headers },
      (answer) => {
        const chunks: Buffer[] = [];
        answer.on('data', (chunk: Buffer) => chunks.push(chunk));
        answer.on('end', () =>
          resolve({ status: answer.statusCode ?? 0, headers: answer.headers, text: Buffer.concat(chunks).toString() }),
        );
      },
    );
    asked.on('error', reject);
    asked.end(body);
  });
}
const about = (headers: Readonly<Record<string, string>>): ReturnType<typeof ask> =>
  ask('/call/station.about', { 'content-type': 'application/json', ...headers }, '{}');

describe('who may speak to it', () => {
  it('takes a command with the token from its own page, and from a program that is no browser', async () => {
    expect(await about({ [TOKEN_HEADER]: token })).toMatchObject({ status: 200 });
    expect(
      await about({ [TOKEN_HEADER]: token, origin: `http://127.0.0.1:${listening.port}`, 'sec-fetch-site': 'same-origin' }),
    ).toMatchObject({ status: 200 });
  });

  it('refuses a command without the token, or with a wrong one', async () => {
    for (const headers of [{}, { [TOKEN_HEADER]: '' }, { [TOKEN_HEADER]: `${token}x` }, { cookie: `${TOKEN_HEADER}=${token}` }]) {
      const answer = await about(headers as Record<string, string>);
      expect(answer.status).toBe(401);
      expect(JSON.parse(answer.text)).toMatchObject({ ok: false, error: { code: 'no-token' } });
    }
    expect((await ask('/changes')).status).toBe(401);
  });

  it.each([
    ['another name for this machine', { host: 'localhost:1' }],
    ['a name that was pointed here', { host: 'evil.example' }],
    ['another page', { origin: 'https://evil.example' }],
    ['a page on another port', { origin: 'http://127.0.0.1:1', 'sec-fetch-site': 'same-site' }],
    ['a page in another site', { 'sec-fetch-site': 'cross-site' }],
    ['a page with no origin', { origin: 'null' }],
  ])('refuses %s, even with the token', async (_, headers) => {
    expect((await about({ [TOKEN_HEADER]: token, ...headers } as Record<string, string>)).status).toBe(403);
    expect((await ask('/', headers as Record<string, string>)).status).toBe(403);
  });

  it('is judged the same without a server', () => {
    const own = { host: '127.0.0.1:5', origin: undefined, fetchSite: undefined };
    expect(refuseRequest(own, 5)).toBeUndefined();
    expect(refuseRequest({ ...own, fetchSite: 'none' }, 5)).toBeUndefined();
    expect(refuseRequest({ ...own, host: undefined }, 5)).toBeDefined();
    expect(refuseRequest(own, 6)).toBe('Open http://127.0.0.1:6 instead.');
    expect(isToken(token, token)).toBe(true);
    expect(isToken(undefined, token)).toBe(false);
  });

  it('listens on 127.0.0.1 alone', async () => {
    const answer = new Promise((resolve, reject) => {
      const asked = request({ host: '127.0.0.2', port: listening.port, timeout: 2_000 }, resolve);
      asked.on('error', reject);
      asked.end();
    });
    await expect(answer).rejects.toThrow(/ECONNREFUSED|timeout/);
  });
});

describe('what it serves', () => {
  it('is the window, with a content policy and no way to frame it', async () => {
    const page = await ask('/');
    expect(page).toMatchObject({ status: 200, text: expect.stringContaining('Stagecall') as string });
    const policy = String(page.headers['content-security-policy']);
    expect(policy.split('; ')).toEqual(
      expect.arrayContaining(["default-src 'none'", "script-src 'self'", "style-src 'self'", "frame-ancestors 'none'", "base-uri 'none'"]),
    );
    expect(policy).not.toContain('unsafe');
    expect(page.headers).toMatchObject({
      'x-content-type-options': 'nosniff',
      'cache-control': 'no-cache',
      'referrer-policy': 'no-referrer',
    });
    expect((await ask('/assets/a-1234.js')).headers).toMatchObject({
      'content-type': 'text/javascript; charset=utf-8',
      'cache-control': expect.stringContaining('immutable') as string,
    });
  });

  it.each([
    '/../secret.html',
    '/%2e%2e/secret.html',
    '/..%2fsecret.html',
    '/assets/../../secret.html',
    '/link.html',
    '/.hidden.html',
    '/none.html',
    '/index.html%00.js',
    '/assets',
    '/assets/',
    '//etc/passwd',
    '/%E0%A4%A',
  ])('is nothing else: %s', async (target) => {
    const answer = await ask(target);
    expect(answer.status).toBe(404);
    expect(answer.text).not.toContain('outside');
  });

  it('names files inside the folder only', () => {
    expect(windowFileName('/')).toBe('index.html');
    expect(windowFileName('/assets/x.woff')).toBe('assets/x.woff');
    expect(windowFileName('/a/../../x.html')).toBeUndefined();
    expect(windowFileName('/x.exe')).toBeUndefined();
    expect(windowFileName('/a\\..\\x.html')).toBeUndefined();
  });
});

describe('what it takes', () => {
  const call = (name: string, body: string, headers: Record<string, string> = {}): ReturnType<typeof ask> =>
    ask(`/call/${name}`, { [TOKEN_HEADER]: token, 'content-type': 'application/json', ...headers }, body);

  it('answers a body that is no JSON in words', async () => {
    expect(JSON.parse((await call('record.append', '{"record": ')).text)).toMatchObject({ ok: false, error: { code: 'bad-input' } });
    expect(JSON.parse((await call('no.such.command', '{}')).text)).toMatchObject({ ok: false, error: { code: 'unknown-command' } });
  });

  it('answers a body that is too large in words, whether or not its length was announced', async () => {
    const large = JSON.stringify({ text: 'x'.repeat(10 * 1024 * 1024) });
    const announced = await call('record.append', large);
    expect(announced.status).toBe(413);
    expect(JSON.parse(announced.text)).toMatchObject({ ok: false, error: { code: 'too-large' } });
    const chunked = await call('record.append', large, { 'transfer-encoding': 'chunked' });
    expect(JSON.parse(chunked.text)).toMatchObject({ ok: false, error: { code: 'too-large' } });
    expect(JSON.parse((await call('station.about', '{}')).text)).toMatchObject({ ok: true });
  });

  it('takes a whole class’s files for the desk', async () => {
    const files = [{ name: 'a.pdf', base64: 'A'.repeat(20 * 1024 * 1024) }];
    expect(JSON.parse((await call('desk.mark', JSON.stringify({ files }))).text)).toMatchObject({ ok: false, error: { code: 'not-here' } });
  });
});

describe('the stream of changes', () => {
  it('begins at once, beats, and counts the windows that listen', async () => {
    const controller = new AbortController();
    const answer = await fetch(`http://127.0.0.1:${listening.port}/changes`, {
      headers: { [TOKEN_HEADER]: token },
      signal: controller.signal,
    });
    const reader = (answer.body as ReadableStream<Uint8Array>).getReader();
    const text = async (): Promise<string> => new TextDecoder().decode((await reader.read()).value);
    expect(await text()).toBe('{}\n');
    expect(windows).toBe(1);
    expect(await text()).toBe('{}\n');
    controller.abort();
    await expect.poll(() => windows).toBe(0);
  });
});

describe('its port', () => {
  it('is another one where the wished one is taken', async () => {
    const app = (port: () => number) => loopbackApp({ answering: station.answering, token, port, windowFolder: folder });
    const second = await listen(app, [listening.port, 0]);
    expect(second.port).not.toBe(listening.port);
    second.close();
    const began = performance.now();
    await expect(listen(app, [listening.port], 300)).rejects.toThrow('EADDRINUSE');
    expect(performance.now() - began).toBeGreaterThan(250);
  });
});
