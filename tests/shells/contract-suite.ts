/** What every shell has to do, whatever stands between window and station: one suite, run against each of them. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { commandNames, type RecordChange, type StationApi } from '../../core/contract/contract.ts';
import { STATION_NEWS } from '../../core/contract/station-news.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
import { contractErasing } from './contract-erase.ts';
import { contractSeries } from './contract-series.ts';
import { contractTake } from './contract-take.ts';
import { contractSets } from './contract-sets.ts';
import { good, Pair, sheetText } from './pair.ts';

export interface ShellUnderTest {
  readonly api: StationApi;
  /** Whether this shell prints worksheets and has a marking desk. */
  readonly prints: boolean;
  end(): Promise<void> | void;
}

export function contractSuite(name: string, make: () => Promise<ShellUnderTest>): void {
  describe(`${name}`, () => {
    let shell: ShellUnderTest;
    beforeAll(async () => {
      shell = await make();
    }, 60_000);
    afterAll(async () => {
      await shell?.end();
    });
    const call: StationApi['call'] = (command, input) => shell.api.call(command, input);

    contractErasing(() => shell.api);
    contractSeries(() => shell.api);
    contractTake(() => shell.api);
    contractSets(() => shell.api);

    it('says what it is and what it can do', async () => {
      const about = await good(call('station.about', {}));
      expect(['electron', 'loopback', 'command-line', 'test']).toContain(about.shell);
      expect(['dialog', 'download']).toContain(about.capabilities.save);
      expect(about.stationKey).toMatch(/^[0-9a-f]{4}-[0-9a-f]{4}$/);
    });

    it('knows every command of the contract, and no other', async () => {
      for (const command of commandNames) {
        const answer = await (call as (name: string, input: unknown) => Promise<{ ok: boolean; error?: { code: string } }>)(command, {
          nothing: 'of the kind',
        });
        if (!answer.ok) expect(answer.error?.code).not.toBe('unknown-command');
      }
      expect(await (call as (name: string, input: unknown) => Promise<unknown>)('record.erase-everything', {})).toMatchObject({
        ok: false,
      });
    });

    it('refuses what the contract does not allow, in words', async () => {
      const answer = await call('record.append', { record: 's-abcdefgh', command: 'short', author: 'TN', drafts: [] });
      expect(answer).toMatchObject({ ok: false, error: { code: 'bad-input' } });
      if (!answer.ok) expect(answer.error.message.length).toBeGreaterThan(20);
    });

    it('lists the lab sheets with their text', async () => {
      const sheets = await good(call('sheets.list', {}));
      expect(sheets.find(({ id }) => id === 'treadmill-maximal-bruce')).toMatchObject({ text: sheetText, problems: [] });
    });

    it('opens a session once, however often it is asked', async () => {
      const input = { command: new Pair(shell.api).command(), author: 'TN', sheet: 'treadmill-maximal-bruce', way: 'live' as const };
      const first = await good(call('session.open', input));
      expect(await good(call('session.open', input))).toEqual(first);
      const listed = await good(call('sessions.list', {}));
      expect(listed.filter(({ id }) => id === first.session)).toHaveLength(1);
      expect(listed[0]).toMatchObject({ id: first.session, way: 'live', phase: 'prepare', events: 1 });
      expect(await call('session.open', { ...input, command: `${input.command.slice(0, 50)}-2`, sheet: 'no-such-sheet' })).toMatchObject({
        ok: false,
        error: { code: 'no-such-sheet' },
      });
    });

    it('keeps what is appended, as one unbroken chain', async () => {
      const pair = await new Pair(shell.api).open();
      const written = await pair.add({ kind: 'note-added', data: { text: 'VO₂ “≥” 3,5 µ\u0000😀' } });
      expect(written).toMatchObject({ record: pair.session, length: 2, repeated: false });
      const events = await pair.events();
      expect(events.map(({ kind }) => kind)).toEqual(['session-opened', 'note-added']);
      expect(events[1]).toMatchObject({ seq: 1, author: 'TN', data: { text: 'VO₂ “≥” 3,5 µ\u0000😀' } });
      expect((await pair.read()).events[1]).toEqual(written.events[0]);
      const later = await good(call('record.read', { record: pair.session, from: 1 }));
      expect(later.events).toEqual(written.events);
      expect(later.length).toBe(2);
    });

    it('answers a repeated command with the same events and records nothing twice', async () => {
      const pair = await new Pair(shell.api).open();
      const input = {
        record: pair.session,
        command: pair.command(),
        author: 'TN',
        drafts: [
          { kind: 'note-added', data: { text: 'once' } },
          { kind: 'note-added', data: { text: 'twice' } },
        ],
      };
      const first = await good(call('record.append', input));
      await pair.add({ kind: 'note-added', data: { text: 'something else' } });
      const again = await good(call('record.append', input));
      expect(again.events).toEqual(first.events);
      expect(again.repeated).toBe(true);
      expect(await pair.events()).toHaveLength(4);
      const other = { ...input, drafts: [{ kind: 'note-added', data: { text: 'not the same' } }] };
      expect(await call('record.append', other)).toMatchObject({ ok: false, error: { code: 'command-used' } });
      expect(await pair.events()).toHaveLength(4);
    });

    it('writes all drafts of a command or none', async () => {
      const pair = await new Pair(shell.api).open();
      const answer = await pair.try(
        { kind: 'note-added', data: { text: 'kept?' } },
        { kind: 'rest-started', data: {} },
        { kind: 'rest-started', data: {} },
      );
      expect(answer).toMatchObject({ ok: false, error: { code: 'wrong-phase' } });
      expect(await pair.events()).toHaveLength(1);
      expect((await pair.state()).phase).toBe('prepare');
      await pair.add({ kind: 'rest-started', data: {} });
      expect((await pair.state()).phase).toBe('rest');
    });

    it('refuses a fact that is none: an unknown kind, a value that is no number, a field of 10 MB', async () => {
      const pair = await new Pair(shell.api).open();
      expect(await pair.try({ kind: 'wish-granted', data: {} })).toMatchObject({ ok: false, error: { code: 'unknown-kind' } });
      expect(await pair.try({ kind: 'event-struck', data: { target: Number.NaN, reason: 'x' } })).toMatchObject({ ok: false });
      expect(await pair.try({ kind: 'clock-carried', data: { why: 'sleep', bridge: 'wall', gap: 1 } })).toMatchObject({ ok: false });
      const pasted = await pair.try({ kind: 'note-added', data: { text: 'x'.repeat(10 * 1024 * 1024) } });
      expect(pasted.ok).toBe(false);
      if (!pasted.ok) expect(pasted.error.message).toMatch(/too (large|long|big)/i);
      await pair.add({ kind: 'note-added', data: { text: 'still here' } });
      expect(await pair.events()).toHaveLength(2);
    });

    it('takes entries that are sent without waiting, in their order', async () => {
      const pair = await new Pair(shell.api).open();
      const texts = Array.from({ length: 30 }, (_, index) => `note ${index}`);
      await Promise.all(texts.map((text) => pair.add({ kind: 'note-added', data: { text } })));
      expect((await pair.events()).slice(1).map(({ data }) => (data as { text: string }).text)).toEqual(texts);
    });

    it('tells every window of a change', async () => {
      const changes: RecordChange[] = [];
      const states: boolean[] = [];
      const leave = shell.api.subscribe({ changed: (change) => changes.push(change), connected: (state) => states.push(state) });
      await expect.poll(() => states).toEqual([true]);
      const pair = await new Pair(shell.api).open();
      await pair.add({ kind: 'note-added', data: { text: 'heard' } });
      await expect.poll(() => changes.filter(({ record }) => record === pair.session).map(({ length }) => length)).toEqual([1, 2]);
      expect(changes.at(-1)?.clock.rate).toBe(1);
      leave();
      await pair.add({ kind: 'note-added', data: { text: 'not heard' } });
      await pair.read();
      expect(changes.filter(({ record }) => record === pair.session)).toHaveLength(2);
    });

    it('runs a rehearsal’s clock at the speed that is asked for, and nothing else’s', async () => {
      const rehearsal = await new Pair(shell.api).open('rehearsal', { participant: 'R-01', seed: 1, rate: 1, records: false });
      expect(await good(call('rehearsal.rate', { session: rehearsal.session, rate: 60 }))).toMatchObject({ rate: 60 });
      expect((await rehearsal.read()).clock.rate).toBe(60);
      const live = await new Pair(shell.api).open();
      expect(await call('rehearsal.rate', { session: live.session, rate: 60 })).toMatchObject({
        ok: false,
        error: { code: 'not-a-rehearsal' },
      });
      expect(await call('rehearsal.rate', { session: live.session, rate: 1000 })).toMatchObject({
        ok: false,
        error: { code: 'bad-input' },
      });
    });

    it('keeps a sheet that is keyed in afterwards at the times as written', async () => {
      const pair = await new Pair(shell.api).open('paper');
      await pair.add(
        { kind: 'rest-started', data: {}, taken: 60_000 },
        { kind: 'note-added', data: { text: 'cuff slipped' }, taken: 300_000 },
      );
      const [, rest, note] = await pair.events();
      expect([rest?.taken, note?.taken]).toEqual([60_000, 300_000]);
      expect((await pair.read()).clock).toEqual({ now: 300_000, rate: 0 });
    });

    it('carries a session to a worksheet that is whole elsewhere', { timeout: 60_000 }, async () => {
      const pair = await new Pair(shell.api).open();
      const open = (student: string) => call('worksheet.open', { command: pair.command(), session: pair.session, student });
      expect(await open('k-114')).toMatchObject({ ok: false, error: { code: 'not-closed' } });
      await pair.exercise();
      await pair.add(pair.reading('147'));
      await pair.finish();
      expect((await pair.read()).clock.rate).toBe(0);
      expect(await pair.try({ kind: 'note-added', data: { text: 'afterwards' } })).toMatchObject({
        ok: false,
        error: { code: 'read-only' },
      });
      const { worksheet } = await good(open('k-114'));
      expect(await good(open('k-114'))).toEqual({ worksheet });
      expect(await good(open('k-115'))).not.toEqual({ worksheet });
      await good(
        call('record.append', {
          record: worksheet,
          command: pair.command(),
          author: 'k-114',
          drafts: [{ kind: 'answer-given', data: { question: 'hr-max', typed: '193', unit: '/min' } }],
        }),
      );
      const file = await good(call('worksheet.export', { worksheet, as: 'json' }));
      expect(file.mime).toBe('application/json');
      const text = Buffer.from(file.base64, 'base64').toString('utf8');
      expect(readWorksheetFile(text)).toMatchObject({ ok: true, value: { sound: true } });
      const data = await good(call('record.data', { session: pair.session, as: 'readings' }));
      expect(data).toMatchObject({ name: `readings-${pair.session}.csv`, mime: 'text/csv' });
      expect(Buffer.from(data.base64, 'base64').toString('utf8')).toMatch(/^session,participant,[^]*,heart-rate,147,\/min,8867-4,147,/);
      const whole = await good(call('record.data', { session: pair.session, as: 'json' }));
      expect(JSON.parse(Buffer.from(whole.base64, 'base64').toString('utf8'))).toMatchObject({ format: 'stagecall-record-data/1', session: pair.session });
      expect(await call('record.data', { session: worksheet, as: 'json' })).toMatchObject({ ok: false, error: { code: 'not-a-session' } });
      expect(Buffer.from((await good(call('record.data', { session: pair.session, as: 'dictionary' }))).base64, 'base64').toString('utf8')).toContain('8867-4');
      const [listing] = await good(call('sheets.list', {}));
      const blank = await call('sheet.blank', { sheet: listing?.id ?? '', paper: 'Letter' });
      expect(blank).toMatchObject(shell.prints ? { ok: true, value: { mime: 'application/pdf' } } : { ok: false, error: { code: 'not-here' } });
      const printed = await call('worksheet.export', { worksheet, as: 'pdf' });
      expect(printed).toMatchObject(
        shell.prints ? { ok: true, value: { mime: 'application/pdf' } } : { ok: false, error: { code: 'not-here' } },
      );
      if (printed.ok) expect(Buffer.from(printed.value.base64, 'base64').subarray(0, 5).toString()).toBe('%PDF-');
      if (shell.prints && printed.ok) {
        const files = [printed.value, file, { name: 'photo.pdf', base64: btoa('not a worksheet') }].map(({ name: called, base64 }) => ({
          name: called,
          base64,
        }));
        const desk = await good(call('desk.mark', { files }));
        expect(desk.map(({ status }) => status)).toEqual(['marked', 'marked', 'refused']);
      }
      const listed = await good(call('sessions.list', {}));
      expect(listed.find(({ id }) => id === pair.session)).toMatchObject({
        phase: 'worksheet',
        participant: 'R-07',
        worksheets: [{ student: 'k-114' }, { student: 'k-115' }],
      });
    });

    it('keeps the station’s profile, tells every window, and refuses a faulty one line by line', async () => {
      const heard: string[] = [];
      const leave = shell.api.subscribe({ changed: ({ record }) => heard.push(record), connected: () => {} });
      const text = 'schema: stagecall-station-profile/1\nunits: { speed: mph }\nemergency: Call 2222.\n';
      expect(await good(call('profile.save', { text }))).toMatchObject({ profile: { units: { speed: 'mph' }, emergency: 'Call 2222.' } });
      await expect.poll(() => heard).toContain(STATION_NEWS);
      expect(await call('profile.save', { text: text.replace('mph', 'knots') })).toMatchObject({ ok: false, error: { code: 'profile-invalid', details: [expect.stringContaining('Line 2')] } });
      expect((await good(call('profile.read', {}))).text).toBe(text);
      await good(call('profile.save', { text: '' }));
      expect(await good(call('profile.read', {}))).toEqual({ text: '', problems: [] });
      leave();
    });

    it('asks for the instructor’s passphrase once one is set, and for the old one to take it away', async () => {
      expect(await good(call('passphrase.status', {}))).toMatchObject({ set: false });
      expect(await good(call('passphrase.check', { passphrase: 'whatever it is' }))).toEqual({});
      expect(await call('passphrase.set', { passphrase: 'short' })).toMatchObject({ ok: false, error: { code: 'passphrase-short' } });
      expect(await good(call('passphrase.set', { passphrase: 'brass kettle, nine' }))).toMatchObject({ set: true });
      expect(await call('passphrase.check', { passphrase: 'a wrong guess' })).toMatchObject({ ok: false, error: { code: 'passphrase-wrong' } });
      expect((await good(call('passphrase.check', { passphrase: 'brass kettle, nine' }))).unlock).toBeTruthy();
      expect(await call('passphrase.set', { passphrase: null })).toMatchObject({ ok: false });
      expect(await good(call('passphrase.set', { passphrase: null, old: 'brass kettle, nine' }))).toMatchObject({ set: false });
    });

    it('says so where it cannot save a file itself', async () => {
      const about = await good(call('station.about', {}));
      const expected =
        about.capabilities.save === 'download' ? { ok: false, error: { code: 'not-here' } } : { ok: true, value: { saved: false } };
      expect(await call('file.save', { name: 'a.json', base64: '' })).toMatchObject(expected);
    });

    it('opens a second window itself, or says that the page does it', async () => {
      const about = await good(call('station.about', {}));
      const expected = about.shell === 'electron' ? { ok: true, value: { opened: true } } : { ok: false, error: { code: 'not-here' } };
      expect(await call('window.wall', { session: 's-second-window' })).toMatchObject(expected);
      expect(await call('window.wall', { session: 'https://elsewhere' })).toMatchObject({ ok: false, error: { code: 'bad-input' } });
    });

    it('knows no record that it does not have', async () => {
      expect(await call('record.read', { record: 's-nowhere-at-all' })).toMatchObject({ ok: false, error: { code: 'no-such-record' } });
      expect(await call('worksheet.export', { worksheet: 's-nowhere-at-all', as: 'json' })).toMatchObject({
        ok: false,
        error: { code: 'no-such-record' },
      });
    });
  });
}
