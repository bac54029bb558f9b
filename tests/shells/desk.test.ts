/** The marking desk: what comes of every kind of file that people hand in, and of those that nobody should have to open. */
import { createRequire } from 'node:module';
import { Readable } from 'node:stream';
import { createDeflate, deflateSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chainHash, CHAIN_START } from '../../core/record/chain.ts';
import { buildWorksheetFile, worksheetFileText, type WorksheetFile } from '../../core/worksheet/file.ts';
import { marksRows } from '../../core/worksheet/marks-csv.ts';
import { markFiles, type MarkedDeskFile } from '../../electron/desk/mark-files.ts';
import { markOne } from '../../electron/desk/mark-one.ts';
import { endPool, usualLimits } from '../../electron/desk/pool.ts';
import { writeWorksheet } from '../../electron/pdf/write-worksheet.ts';
import { passingKey } from '../../electron/station/key.ts';
import { bruceText } from '../core/session-builder.ts';
import { answered, wholeSession } from '../core/worksheet-builder.ts';

const session = wholeSession();
const sheet = answered(session).handIn();
const json = (file: WorksheetFile): Uint8Array => Buffer.from(worksheetFileText(file));
const fileOf = (on = session, answers = sheet): WorksheetFile =>
  buildWorksheetFile({ session: { events: on.stored }, worksheet: { events: answers.stored }, version: '0.1.0' });
const codes = (file: MarkedDeskFile): readonly string[] => file.findings.map((finding) => finding.code);
const one = (bytes: Uint8Array, key?: string): Promise<MarkedDeskFile> => markOne('file', bytes, { sheet: key });

/** The least that is a PDF with a file inside, so that the file can be anything. */
function pdfWith(
  content: Uint8Array | undefined,
  options: { readonly packed?: boolean; readonly name?: string; readonly creator?: string } = {},
): Uint8Array {
  const { packed = false, name = 'stagecall-worksheet.json', creator = 'someone' } = options;
  const objects: Buffer[] = [];
  const names = content === undefined ? '' : `/Names << /EmbeddedFiles << /Names [(${name}) 4 0 R] >> >>`;
  objects.push(
    Buffer.from(`<< /Type /Catalog /Pages 2 0 R ${names} >>`),
    Buffer.from('<< /Type /Pages /Kids [3 0 R] /Count 1 >>'),
    Buffer.from('<< /Type /Page /Parent 2 0 R /MediaBox [0 0 100 100] >>'),
  );
  if (content !== undefined) {
    objects.push(Buffer.from(`<< /Type /Filespec /F (${name}) /UF (${name}) /EF << /F 5 0 R >> >>`));
    objects.push(
      Buffer.concat([
        Buffer.from(`<< /Type /EmbeddedFile /Length ${content.length} ${packed ? '/Filter /FlateDecode ' : ''}>>\nstream\n`),
        content,
        Buffer.from('\nendstream'),
      ]),
    );
  }
  objects.push(Buffer.from(`<< /Creator (${creator}) >>`));
  const parts = [Buffer.from('%PDF-1.7\n')];
  const places: number[] = [];
  let at = parts[0]!.length;
  for (const [index, object] of objects.entries()) {
    places.push(at);
    const whole = Buffer.concat([Buffer.from(`${index + 1} 0 obj\n`), object, Buffer.from('\nendobj\n')]);
    parts.push(whole);
    at += whole.length;
  }
  const rows = places.map((place) => `${String(place).padStart(10, '0')} 00000 n \n`).join('');
  parts.push(
    Buffer.from(
      `xref\n0 ${objects.length + 1}\n0000000000 65535 f \n${rows}trailer << /Size ${objects.length + 1} /Root 1 0 R /Info ${objects.length} 0 R >>\nstartxref\n${at}\n%%EOF\n`,
    ),
  );
  return new Uint8Array(Buffer.concat(parts));
}

/** So many megabytes of nothing, packed: small in the file, large when opened. */
async function packedZeros(megabytes: number): Promise<Buffer> {
  const zeros = Buffer.alloc(1024 * 1024);
  const packed = Readable.from(Array.from({ length: megabytes }, () => zeros)).pipe(createDeflate());
  const parts: Buffer[] = [];
  for await (const part of packed) parts.push(part as Buffer);
  return Buffer.concat(parts);
}

let pdf: Uint8Array;
beforeAll(async () => {
  pdf = await writeWorksheet({
    session: { events: session.stored },
    worksheet: { events: sheet.stored },
    paper: 'A4',
    version: '0.1.0',
    wall: '2026-03-02T11:25:00+00:00',
  });
});
afterAll(endPool);

describe('a sound file', () => {
  it('is marked from its attachment, and says that the pages are not trusted', async () => {
    const file = await one(pdf, bruceText);
    expect(file.status).toBe('marked');
    expect(file.marking).toMatchObject({ student: 's-2204', participant: 'R-07', total: 42, outOf: 50 });
    expect(codes(file)).toEqual(['unsigned', 'pages-not-trusted']);
    expect(file.attachment?.format).toBe('stagecall-worksheet/1');
  });
  it('as .json too, whatever it is called', async () => {
    const file = await one(json(fileOf()), bruceText);
    expect(file).toMatchObject({ status: 'marked', marking: { total: 42 } });
  });
  it('without a key it is marked by its own copy, and says "unverified key"', async () => {
    const file = await one(pdf);
    expect(file.status).toBe('marked');
    expect(file.findings.find((finding) => finding.code === 'unverified-key')).toMatchObject({
      level: 'warning',
      text: expect.stringContaining('Unverified key'),
    });
    expect(marksRows([file])[0]?.reason).toContain('Unverified key');
  });
  it('is marked by the instructor’s key and not by its own', async () => {
    const strict = bruceText.replace('tolerance: { full: 1, part: 3 }', 'tolerance: { full: 0 }');
    const answer = fileOf(session, answered(session, { 'hr-max': ['192', '/min'] }).handIn());
    expect((await one(json(answer), bruceText)).marking?.questions[0]?.marks).toBe(3);
    expect((await one(json(answer), strict)).marking?.questions[0]?.marks).toBe(0);
  });
  it('two students on one session mark apart', async () => {
    const other = answered(session, { 'hr-max': ['150', '/min'] }, 's-2205').handIn();
    const [a, b] = await Promise.all([one(json(fileOf()), bruceText), one(json(fileOf(session, other)), bruceText)]);
    expect([a.marking?.student, a.marking?.total, b.marking?.student, b.marking?.total]).toEqual(['s-2204', 42, 's-2205', 39]);
    expect(a.marking?.session).toBe(b.marking?.session);
  });
});

describe('what has to be said about a file', () => {
  it('an altered byte in the attached record: flagged with its place, no marks', async () => {
    const file = fileOf();
    const at = file.session.events.findIndex((event) => event.body.includes('"quantity":"vo2"'));
    file.session.events[at]!.body = file.session.events[at]!.body.replace('0.98', '1.98');
    const result = await one(pdfWith(json(file)), bruceText);
    expect(result).toMatchObject({ status: 'refused', about: { student: 's-2204' } });
    expect(result.marking).toBeUndefined();
    expect(result.findings[0]).toMatchObject({ code: 'altered', level: 'refusal', text: expect.stringContaining(`event ${at + 1}`) });
    expect(marksRows([result])).toMatchObject([
      { student: 's-2204', marks: '', reason: expect.stringContaining('changed after it was written') },
    ]);
  });
  it('a stripped record: the name of the attachment gone from the file', async () => {
    const stripped = Buffer.from(
      Buffer.from(pdf).toString('latin1').replaceAll('/EmbeddedFiles', '/NothingMoreXX').replaceAll('/AF ', '/XX '),
      'latin1',
    );
    expect(codes(await one(stripped))).toEqual(['stripped']);
    expect(codes(await one(pdfWith(undefined, { creator: 'Stagecall 0.1.0' })))).toEqual(['stripped']);
  });
  it('a rehearsal is marked, and every row says so', async () => {
    const rehearsal = wholeSession({ way: 'rehearsal' });
    const result = await one(json(fileOf(rehearsal, answered(rehearsal).handIn())), bruceText);
    expect(result.status).toBe('marked');
    expect(codes(result)).toContain('rehearsal');
    expect(marksRows([result]).every((row) => row.reason.startsWith('This is a rehearsal'))).toBe(true);
  });
  it('another lab sheet than the key', async () => {
    const other = bruceText.replace('id: treadmill-maximal-bruce', 'id: another-sheet');
    expect(await one(pdf, other)).toMatchObject({
      status: 'refused',
      findings: expect.arrayContaining([expect.objectContaining({ code: 'wrong-sheet' })]),
    });
  });
  it('a key that is no lab sheet', async () => {
    expect(codes(await one(pdf, 'title: nothing'))).toEqual(['bad-key']);
  });
  it('a signature: of this record, of a station that is known or not, or of another record', async () => {
    const [key, other] = [passingKey(), passingKey()];
    const file = fileOf();
    const signed = (by: typeof key, head: string): WorksheetFile => ({
      ...file,
      session: { ...file.session, signature: { key: key.publicKey, algorithm: 'ed25519', signature: by.seal(head).signature } },
    });
    const sound = json(signed(key, file.session.head));
    expect(codes(await markOne('f', sound, { sheet: bruceText }))).toContain('signed');
    expect(codes(await markOne('f', sound, { sheet: bruceText, knownKeys: [key.publicKey] }))).toContain('signed-known');
    expect(codes(await markOne('f', sound, { sheet: bruceText, knownKeys: [other.publicKey] }))).toContain('signed-unknown');
    for (const bad of [signed(other, file.session.head), signed(key, 'f'.repeat(64))]) {
      expect(await markOne('f', json(bad), { sheet: bruceText })).toMatchObject({
        status: 'refused',
        findings: expect.arrayContaining([expect.objectContaining({ code: 'signature-bad' })]),
      });
    }
  });
  it('a record written anew with its chain whole, but a signature of the old one', async () => {
    const key = passingKey();
    const file = fileOf();
    let head = CHAIN_START;
    const events = file.session.events.map(({ body }) => {
      const changed = body.replace('"typed":"0.98"', '"typed":"1.98"');
      return { body: changed, hash: (head = chainHash(head, changed)) };
    });
    const opened = JSON.parse(file.worksheet.events[0]!.body) as { data: { sessionHead: string } };
    opened.data.sessionHead = head;
    let own = CHAIN_START;
    const answers = [JSON.stringify(opened), ...file.worksheet.events.slice(1).map((event) => event.body)].map((body) => ({
      body,
      hash: (own = chainHash(own, body)),
    }));
    const rewritten: WorksheetFile = {
      ...file,
      session: {
        id: file.session.id,
        head,
        events,
        signature: { key: key.publicKey, algorithm: 'ed25519', signature: key.seal(file.session.head).signature },
      },
      worksheet: { ...file.worksheet, head: own, events: answers },
    };
    expect(codes(await one(json(rewritten)))).toContain('signature-bad');
  });
});

describe('files that are something else', () => {
  it.each([
    ['nothing', new Uint8Array(), 'empty'],
    ['a text', Buffer.from('Dear marker,'), 'not-a-worksheet'],
    ['other JSON', Buffer.from('{"a":1}'), 'not-a-worksheet'],
    ['a packed folder', Buffer.from('PK\u0003\u0004rest'), 'zip'],
    ['bytes that are no text', Buffer.from([0x7b, 0xff, 0xfe, 0x00]), 'not-text'],
    ['a PDF without anything inside', pdfWith(undefined), 'not-a-worksheet'],
    ['a PDF with another file inside', pdfWith(Buffer.from('{"marks":50}'), { name: 'grades.json' }), 'not-a-worksheet'],
    ['a PDF head and nothing more', Buffer.from('%PDF-1.7\n'), 'damaged'],
    ['a PDF of noise', Buffer.concat([Buffer.from('%PDF-1.7\n'), Buffer.alloc(20_000, 0xa7), Buffer.from('%%EOF')]), 'damaged'],
  ])('%s', async (_name, bytes, code) => {
    const result = await one(bytes);
    expect(result.status).toBe('refused');
    expect(codes(result)).toEqual([code]);
    expect(result.findings[0]?.text.length).toBeLessThan(320);
    expect(result.findings[0]?.text).not.toMatch(/undefined|Error:|\bat \//);
  });
  it('a file cut anywhere is refused, and most cuts are called a cut', async () => {
    const said = new Set<string>();
    for (const share of [0.1, 0.3, 0.5, 0.7, 0.9, 0.99]) {
      const result = await one(pdf.slice(0, Math.floor(pdf.length * share)));
      expect(result.status).toBe('refused');
      for (const finding of result.findings) said.add(finding.code);
    }
    expect([...said]).toEqual(['damaged']);
    const text = worksheetFileText(fileOf());
    expect(codes(await one(Buffer.from(text.slice(0, text.length / 2))))).toEqual(['not-json']);
  });
  it('a PDF locked with a password', async () => {
    const pdfmake = createRequire(import.meta.url)('pdfmake') as { createPdf(definition: unknown): { getBuffer(): Promise<Buffer> } };
    const locked = await pdfmake
      .createPdf({ content: [{ text: 'x', font: 'Words' }], userPassword: 'secret', version: '1.7', defaultStyle: { font: 'Words' } })
      .getBuffer();
    expect(codes(await one(new Uint8Array(locked)))).toEqual(['password']);
  });
  it('a record that is larger than 20 MB', async () => {
    const huge = Buffer.from(`{"format":"stagecall-worksheet/1","x":"${'a'.repeat(21 * 1024 * 1024)}"}`);
    expect(codes(await one(huge))).toEqual(['too-large']);
    expect(codes(await one(pdfWith(deflateSync(huge), { packed: true })))).toEqual(['too-large']);
  });
});

describe('the desk as a whole', () => {
  it('gives one result for each file, in their order; no file stops the rest', { timeout: 60_000 }, async () => {
    const bomb = pdfWith(await packedZeros(420), { packed: true });
    const files = [
      { name: 'a.pdf', bytes: pdf },
      { name: 'noise.pdf', bytes: Buffer.concat([Buffer.from('%PDF-1.7\n'), Buffer.alloc(5000, 0x42)]) },
      { name: 'bomb.pdf', bytes: bomb },
      { name: 'empty.pdf', bytes: new Uint8Array() },
      { name: 'b.json', bytes: json(fileOf()) },
      { name: 'c.pdf', bytes: pdf },
    ];
    const done: number[] = [];
    const results = await markFiles(files, bruceText, { progress: (count) => done.push(count) });
    expect(results.map((result) => result.file)).toEqual(files.map((file) => file.name));
    expect(results.map((result) => result.status)).toEqual(['marked', 'refused', 'refused', 'refused', 'marked', 'marked']);
    expect(['too-large', 'too-much-memory', 'too-slow', 'damaged-badly']).toContain(results[2]?.findings[0]?.code);
    expect(done).toEqual([1, 2, 3, 4, 5, 6]);
  });
  it('ends a file that takes too long, and goes on with the next', { timeout: 60_000 }, async () => {
    // Nineteen megabytes inside take longer than one look at the child.
    const slow = pdfWith(
      deflateSync(Buffer.from(`{"format":"stagecall-worksheet/1","x":${'[1],'.repeat(4_900_000).slice(0, -1).replace(/^/, '[')}]}`)),
      { packed: true },
    );
    const results = await markFiles([{ name: 'slow.pdf', bytes: slow }], bruceText, {
      limits: { ...usualLimits, seconds: 0, clockSeconds: 0 },
    });
    expect(results[0]).toMatchObject({ status: 'refused', findings: [{ code: 'too-slow' }] });
    expect((await markFiles([{ name: 'next.pdf', bytes: pdf }], bruceText))[0]?.status).toBe('marked');
  });
  it('stops when asked, and keeps what is done', { timeout: 60_000 }, async () => {
    const stop = new AbortController();
    const files = Array.from({ length: 30 }, (_, at) => ({ name: `${at}.json`, bytes: json(fileOf()) }));
    const results = await markFiles(files, bruceText, { signal: stop.signal, progress: (done) => (done === 3 ? stop.abort() : undefined) });
    const marked = results.filter((result) => result.status === 'marked').length;
    expect(marked).toBeGreaterThanOrEqual(3);
    expect(marked).toBeLessThan(30);
    expect(results.filter((result) => result.findings[0]?.code === 'not-opened')).toHaveLength(30 - marked);
  });
  it('crosses as plain data', async () => {
    const [result] = await markFiles([{ name: 'a.pdf', bytes: pdf }], bruceText);
    expect(JSON.parse(JSON.stringify(result))).toEqual(result);
  });
  it('a hundred files damaged in a hundred ways each end in words', { timeout: 120_000 }, async () => {
    // A fixed sequence (Park and Miller's minimal standard), so that a failure can be looked at again.
    let seed = 20260302;
    const next = (below: number): number => (seed = (seed * 48271) % 2147483647) % below;
    const files = Array.from({ length: 100 }, (_, at) => {
      const bytes = Uint8Array.from(at % 2 === 0 ? pdf : json(fileOf()));
      for (let count = 0; count < 1 + (at % 20); count += 1) bytes[next(bytes.length)] = next(256);
      return { name: `${at}`, bytes: at % 5 === 0 ? bytes.slice(next(200)) : bytes };
    });
    const results = await markFiles(files, bruceText);
    expect(results).toHaveLength(100);
    for (const result of results) {
      expect(result.findings.length).toBeGreaterThan(0);
      for (const finding of result.findings) expect(finding.text).not.toMatch(/undefined|\bat .*:\d+:\d+/);
      // A changed byte on a page changes nothing of the record; one in the record is found.
      if (result.status === 'marked') expect(result.marking?.total).toBe(42);
    }
  });
});
