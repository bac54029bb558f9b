/**
 * Files that were torn, altered or made to hurt: PDFs, records, packed folders, tables and YAML, each from a seed, so that one
 * that broke something can be made again. Half are sound files with damage, half are written to break a reader.
 */
import { createHash } from 'node:crypto';
import { deflateSync } from 'node:zlib';
import { chainHash, CHAIN_START } from '../../core/record/chain.ts';
import type { WorksheetFile } from '../../core/worksheet/file.ts';
import { zipOf, type Packed } from './zip-maker.ts';

export type HostileKind = 'pdf' | 'json' | 'zip' | 'csv' | 'yaml';
export interface Hostile {
  readonly kind: HostileKind;
  /** What was done to it: named when something breaks. */
  readonly how: string;
  readonly bytes: Uint8Array;
}

/** Sound files from which the damaged ones are made. */
export interface SoundFiles {
  readonly pdf: Uint8Array;
  readonly file: WorksheetFile;
  readonly csv: readonly string[];
  readonly yaml: readonly string[];
}

/** A small generator of chance: mulberry32. */
export function chanceOf(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

interface Chance {
  readonly next: () => number;
  /** Megabytes that a bomb unpacks to. */
  readonly most: number;
  below(limit: number): number;
  of<Value>(values: readonly Value[]): Value;
}
function chance(most: number, seed: number): Chance {
  const next = chanceOf(seed);
  const below = (limit: number): number => Math.floor(next() * limit);
  return { next, most, below, of: (values) => values[below(values.length)] as (typeof values)[number] };
}

const kinds: readonly HostileKind[] = ['pdf', 'json', 'zip', 'csv', 'yaml'];

/**
 * The `index`-th hostile file; the same seed and index make the same file.
 * @param most megabytes that a bomb unpacks to: just over the limit on attachments (the tests), or far more (the bench).
 */
export function hostileFile(sound: SoundFiles, seed: number, index: number, most: 24 | 200 = 200): Hostile {
  const by = chance(most, Number.parseInt(createHash('sha256').update(`${seed}/${index}`).digest('hex').slice(0, 8), 16));
  const kind = kinds[index % kinds.length] ?? 'pdf';
  const made = { pdf: hostilePdf, json: hostileJson, zip: hostileZip, csv: hostileCsv, yaml: hostileYaml }[kind](sound, by);
  return { kind, ...made };
}

type Made = Omit<Hostile, 'kind'>;
type Damage = (bytes: Buffer, by: Chance) => Buffer;

/** Damage that anything can suffer on its way. */
const damages: Readonly<Record<string, Damage>> = {
  'cut short': (bytes, by) => bytes.subarray(0, by.below(bytes.length)),
  'first bytes lost': (bytes, by) => bytes.subarray(by.below(Math.min(bytes.length, 4000))),
  'bytes flipped': (bytes, by) => {
    const out = Buffer.from(bytes);
    for (let count = 1 + by.below(40); count > 0; count -= 1) out[by.below(out.length)] = by.below(256);
    return out;
  },
  'a part lost': (bytes, by) => {
    const from = by.below(bytes.length);
    return Buffer.concat([bytes.subarray(0, from), bytes.subarray(from + by.below(5000))]);
  },
  'a part twice': (bytes, by) => {
    const from = by.below(bytes.length);
    return Buffer.concat([bytes.subarray(0, from + by.below(5000)), bytes.subarray(from)]);
  },
  'noise in the middle': (bytes, by) => {
    const from = by.below(bytes.length);
    return Buffer.concat([bytes.subarray(0, from), Buffer.from(Array.from({ length: by.below(3000) }, () => by.below(256))), bytes.subarray(from)]);
  },
  'zeros in the middle': (bytes, by) => {
    const out = Buffer.from(bytes);
    const from = by.below(out.length);
    return out.fill(0, from, Math.min(out.length, from + by.below(4000)));
  },
  'line ends changed': (bytes) => Buffer.from(bytes.toString('latin1').replaceAll('\n', '\r\n'), 'latin1'),
  'as text and back': (bytes) => Buffer.from(bytes.toString('utf8'), 'utf8'),
  'numbers made huge': (bytes, by) => {
    const text = bytes.toString('latin1');
    const many = [...text.matchAll(/\d+/g)];
    const hit = many[by.below(Math.max(1, many.length))];
    return hit === undefined ? bytes : Buffer.from(`${text.slice(0, hit.index)}${by.of(['-1', '99999999999999999999', '4294967296', '0', '1e999'])}${text.slice((hit.index ?? 0) + hit[0].length)}`, 'latin1');
  },
};
function damaged(bytes: Uint8Array, by: Chance): Made {
  const [how, damage] = by.of(Object.entries(damages));
  return { how, bytes: damage(Buffer.from(bytes), by) };
}

/* PDFs */

/** A PDF of the given objects (from 1), the first its catalogue. */
function pdfOf(objects: readonly (string | Buffer)[], trailer = '/Root 1 0 R'): Buffer {
  const parts: Buffer[] = [Buffer.from('%PDF-1.7\n')];
  const offsets: number[] = [];
  let at = parts[0]?.length ?? 0;
  for (const [index, object] of objects.entries()) {
    offsets.push(at);
    const part = Buffer.concat([Buffer.from(`${index + 1} 0 obj\n`), Buffer.from(object), Buffer.from('\nendobj\n')]);
    parts.push(part);
    at += part.length;
  }
  parts.push(Buffer.from(`xref\n0 ${objects.length + 1}\n0000000000 65535 f \n${offsets.map((offset) => `${String(offset).padStart(10, '0')} 00000 n \n`).join('')}trailer\n<< /Size ${objects.length + 1} ${trailer} >>\nstartxref\n${at}\n%%EOF\n`));
  return Buffer.concat(parts);
}
const stream = (content: Uint8Array, more = ''): Buffer => Buffer.concat([Buffer.from(`<< /Length ${content.length} ${more} >>\nstream\n`), content, Buffer.from('\nendstream')]);
const PAGES = '<< /Type /Pages /Kids [] /Count 0 >>';
const named = (embedded: Buffer | string, name = '(stagecall-worksheet.json)'): Buffer =>
  pdfOf(['<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles << /Names [(a) 3 0 R] >> >> >>', PAGES, `<< /Type /Filespec /F ${name} /UF ${name} /EF << /F 4 0 R >> >>`, embedded]);

/** What packs to little and unpacks to much, made once for each size. */
const bombs = new Map<number, Buffer>();
export function bomb(megabytes: number): Buffer {
  const made = bombs.get(megabytes) ?? deflateSync(Buffer.alloc(megabytes * 1024 * 1024, 0x20), { level: 9 });
  bombs.set(megabytes, made);
  return made;
}

const pdfTricks: Readonly<Record<string, (by: Chance, sound: SoundFiles) => Buffer>> = {
  'an attachment that unpacks to far more than is read': (by) => named(stream(bomb(by.most), '/Filter /FlateDecode')),
  'an attachment packed five times': (by) => named(stream([1, 2, 3, 4].reduce((inner) => deflateSync(inner), bomb(Math.min(64, by.most))), `/Filter [${'/FlateDecode '.repeat(5)}]`)),
  'an attachment packed two hundred times': () => named(stream(Buffer.from('x'), `/Filter [${'/FlateDecode '.repeat(200)}]`)),
  'a name tree that holds itself': () => pdfOf(['<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles 3 0 R >> >>', PAGES, '<< /Kids [3 0 R 3 0 R] >>']),
  'a name tree 3,000 deep': () => pdfOf(['<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles 3 0 R >> >>', PAGES, ...Array.from({ length: 3000 }, (_, at) => `<< /Kids [${at + 4} 0 R] >>`)]),
  'a page tree that holds itself': () => pdfOf(['<< /Type /Catalog /Pages 2 0 R >>', '<< /Type /Pages /Kids [2 0 R 2 0 R] /Count 2000000000 >>']),
  'an object that is its own length': () => pdfOf(['<< /Type /Catalog /Pages 2 0 R /Names 3 0 R >>', PAGES, '<< /Length 3 0 R >>\nstream\nx\nendstream']),
  'arrays 50,000 deep': () => pdfOf([`<< /Type /Catalog /Pages 2 0 R /X ${'['.repeat(50_000)} >>`, PAGES]),
  'dictionaries 20,000 deep': () => pdfOf([`<< /Type /Catalog /Pages 2 0 R /X ${'<< /A '.repeat(20_000)} >>`, PAGES]),
  'a table of objects that points to itself': () => Buffer.from(`%PDF-1.7\nxref\n0 1\n0000000000 65535 f \ntrailer\n<< /Size 1 /Root 1 0 R /Prev 9 >>\nstartxref\n9\n%%EOF\n`),
  'a table of two billion objects': () => Buffer.from(`%PDF-1.7\n1 0 obj\n<< /Type /Catalog /Pages 2 0 R >>\nendobj\nxref\n0 2000000000\n0000000000 65535 f \ntrailer\n<< /Size 2000000000 /Root 1 0 R >>\nstartxref\n60\n%%EOF\n`),
  'forty thousand attachments': () => pdfOf([`<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles << /Names [${'(a) 3 0 R '.repeat(40_000)}] >> >> >>`, PAGES, '<< /Type /Filespec /F (x.json) /EF << /F 4 0 R >> >>', stream(Buffer.from('{}'))]),
  'locked with a password': () => pdfOf(['<< /Type /Catalog /Pages 2 0 R >>', PAGES, `<< /Filter /Standard /V 2 /R 3 /Length 128 /P -4 /O <${'41'.repeat(32)}> /U <${'42'.repeat(32)}> >>`], '/Root 1 0 R /Encrypt 3 0 R /ID [<00> <00>]'),
  'a lock that is none': (by) => pdfOf(['<< /Type /Catalog /Pages 2 0 R >>', PAGES], `/Root 1 0 R /Encrypt ${by.of(['<< >>', '<< /Filter /Standard /V 99 /R 99 >>', '7 0 R', '[1 2]'])} /ID [<00> <00>]`),
  'an attachment that leads out': () => named(stream(Buffer.from('{}')), '(../../../../stagecall-worksheet.json)'),
  'scripts and a start of a program': () => pdfOf(['<< /Type /Catalog /Pages 2 0 R /OpenAction << /S /JavaScript /JS (while\\(true\\){}) >> /AA << /WC << /S /Launch /F (calc.exe) >> >> >>', PAGES]),
  'a hundred thousand pages of nothing': () => pdfOf(['<< /Type /Catalog /Pages 2 0 R >>', `<< /Type /Pages /Kids [${'3 0 R '.repeat(100_000)}] /Count 100000 >>`, '<< /Type /Page /Parent 2 0 R /MediaBox [0 0 1 1] >>']),
  'a page of endless names': () => pdfOf(['<< /Type /Catalog /Pages 2 0 R >>', '<< /Type /Pages /Kids [3 0 R] /Count 1 >>', '<< /Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] /Contents 4 0 R >>', stream(bomb(24), '/Filter /FlateDecode')]),
  'only a beginning': () => Buffer.from('%PDF-1.7\n'),
  'only an end': () => Buffer.from('%PDF-1.7\nstartxref\n999999999999\n%%EOF'),
  'a record in it that is nasty': (by, sound) => named(stream(hostileJson(sound, by).bytes as Buffer)),
};

function hostilePdf(sound: SoundFiles, by: Chance): Made {
  if (by.next() < 0.5) return damaged(sound.pdf, by);
  const [how, make] = by.of(Object.entries(pdfTricks));
  return { how, bytes: make(by, sound) };
}

/* Records */

const nastyValues: readonly unknown[] = [null, true, -1, 0, 1e308, -1e308, 1.5, 2 ** 53, '', ' ', '=1+1', '9'.repeat(20_000), '-'.repeat(5000), '1e999', 'NaN', '0x10', '1,000,000', '\ud800', '\u0000', '__proto__', 'constructor', [], {}, [[[[]]]], ['a', 1], { __proto__: 1 }, 'toString', '١٢٣', '12:34:56', '1/0', '5'.repeat(300)];

/** Raw texts that no writer of JSON would make. */
const jsonTricks: Readonly<Record<string, (by: Chance, text: string) => string>> = {
  'brackets 200,000 deep': () => '['.repeat(200_000),
  'groups 100,000 deep': () => '{"a":'.repeat(100_000),
  'deep inside the record': (_, text) => text.replace('"session":', `"x": ${'['.repeat(5000)}${']'.repeat(5000)}, "session":`),
  'deep inside an event': (_, text) => text.replace(/"body": "/, `"body": "${'['.repeat(10_000)}`),
  'its prototype named': (_, text) => text.replace('{', '{ "__proto__": { "format": "stagecall-worksheet/1", "polluted": true }, "constructor": { "prototype": { "polluted": true } },'),
  'an event with its prototype named': (_, text) => text.replaceAll('\\"data\\":{', '\\"data\\":{\\"__proto__\\":{\\"polluted\\":true},'),
  'numbers beyond numbers': (_, text) => text.replace('"format"', '"n": 1e999, "m": -1e999, "k": 123456789012345678901234567890, "format"'),
  'the same name twice': (_, text) => text.replace('"format"', '"session": {}, "worksheet": [], "format"'),
  'no text': () => Buffer.from(Array.from({ length: 3000 }, (_, at) => (at * 7919) % 256)).toString('latin1'),
  'another program’s file': () => '{"format":"stagecall-worksheet/99","session":{},"worksheet":{}}',
  'three million blanks': () => ' '.repeat(3_000_000),
  'one long string': () => `"${'a'.repeat(2_000_000)}"`,
  'half a million members': () => `{${Array.from({ length: 200_000 }, (_, at) => `"k${at}":${at}`).join(',')}}`,
  'a hundred thousand events': () => JSON.stringify({ format: 'stagecall-worksheet/1', program: { name: 'x', version: '1' }, way: 'live', session: { id: 'session-x', head: '0'.repeat(64), events: Array.from({ length: 100_001 }, () => ({ body: '{}', hash: '0'.repeat(64) })) }, worksheet: { id: 'worksheet-x', head: '0'.repeat(64), events: [{ body: '{}', hash: '0'.repeat(64) }] } }),
  empty: () => '',
  'a list': () => '[1,2,3]',
};

function hostileJson(sound: SoundFiles, by: Chance): Made {
  const text = `${JSON.stringify(sound.file, null, 1)}\n`;
  const choice = by.next();
  if (choice < 0.2) return damaged(Buffer.from(text), by);
  if (choice < 0.45) {
    const [how, make] = by.of(Object.entries(jsonTricks));
    return { how, bytes: Buffer.from(make(by, text)) };
  }
  return rewritten(sound.file, by);
}

/** A record written anew with nasty values in it and every hash right: the reader cannot rely on the chain. */
function rewritten(file: WorksheetFile, by: Chance): Made {
  const how: string[] = [];
  const rebuilt = (events: readonly { readonly body: string }[], change: (event: Record<string, unknown>, at: number) => void): { events: { body: string; hash: string }[]; head: string } => {
    let head = CHAIN_START;
    const out = events.map(({ body }, at) => {
      const event = JSON.parse(body) as Record<string, unknown>;
      change(event, at);
      const written = JSON.stringify(event);
      head = chainHash(head, written);
      return { body: written, hash: head };
    });
    return { events: out, head };
  };
  const target = by.of(['session', 'session', 'worksheet'] as const);
  const places = new Set(Array.from({ length: 1 + by.below(3) }, () => by.below(file[target].events.length)));
  const spoil = (event: Record<string, unknown>, at: number): void => {
    if (!places.has(at)) return;
    const leaves = leavesOf(event);
    const leaf = by.of(leaves);
    const value = by.of(nastyValues);
    how.push(`${target} event ${at} ${leaf.join('.')} = ${JSON.stringify(value)?.slice(0, 30)}`);
    put(event, leaf, value);
  };
  const session = rebuilt(file.session.events, target === 'session' ? spoil : () => undefined);
  const worksheet = rebuilt(file.worksheet.events, (event, at) => {
    if (at === 0) (event['data'] as Record<string, unknown>)['sessionHead'] = session.head;
    if (target === 'worksheet') spoil(event, at);
  });
  const { signature: _signature, ...plain } = file.session;
  return { how: `rewritten: ${how.join('; ')}`, bytes: Buffer.from(JSON.stringify({ ...file, session: { ...plain, ...session }, worksheet: { ...file.worksheet, ...worksheet } })) };
}

function leavesOf(value: unknown, path: readonly (string | number)[] = []): (readonly (string | number)[])[] {
  if (typeof value !== 'object' || value === null) return [path];
  const inner = Object.entries(value).flatMap(([key, one]) => leavesOf(one, [...path, key]));
  return path.length === 0 ? inner : [path, ...inner];
}
function put(value: Record<string, unknown>, path: readonly (string | number)[], nasty: unknown): void {
  let at: Record<string, unknown> = value;
  for (const key of path.slice(0, -1)) at = at[key] as Record<string, unknown>;
  at[path.at(-1) ?? ''] = nasty;
}

/* Packed folders */

function hostileZip(sound: SoundFiles, by: Chance): Made {
  const record = JSON.stringify(sound.file);
  const good: readonly Packed[] = [{ name: 'a/s-1.json', content: record }, { name: 'a/s-2.pdf', content: sound.pdf }];
  if (by.next() < 0.5) return damaged(zipOf(good), by);
  const tricks: Readonly<Record<string, () => Buffer>> = {
    'unpacks to far more than it has': () => zipOf([{ name: 'a.json', content: Buffer.alloc((by.most / 2) * 1024 * 1024) }]),
    'says 1 byte and unpacks to more': () => zipOf([{ name: 'a.json', content: Buffer.alloc(4 * 1024 * 1024), says: { size: 1 } }]),
    'says 4 GB': () => zipOf([{ name: 'a.json', content: 'x', says: { size: 0xfffffffe } }]),
    'one content under two thousand names': () => zipOf(Array.from({ length: 2000 }, (_, at) => ({ name: `${at}.json`, content: at === 0 ? record : '', ...(at === 0 ? {} : { says: { offset: 0, size: record.length } }) }))),
    'sixty thousand files': () => zipOf([{ name: 'a.json', content: 'x' }], { count: 60_000 }),
    'names that lead out': () => zipOf(['../a.json', '/a.json', 'C:\\a.json', '..\\..\\a.json', 'a/../../b.json', '\u0000.json', './a.json', 'a//b.json'].map((name) => ({ name, content: 'x' }))),
    links: () => zipOf([{ name: 'a.pdf', content: '/etc/passwd', mode: 0o120777 }]),
    'a folder in a folder in a folder': () => zipOf([{ name: 'a.zip', content: zipOf([{ name: 'b.zip', content: zipOf(good) }]) }, { name: 'c.json', content: zipOf(good) }]),
    'locked and cut': () => zipOf([{ name: 'a.json', content: record, encrypted: true }, ...good]),
    'sizes in 64 bits that lie': () => zipOf([{ name: 'a.json', content: record, zip64: true, says: { size: 2 ** 40 } }], { zip64End: true }),
    'the same name in two cases': () => zipOf([{ name: 'a.json', content: record }, { name: 'A.JSON', content: 'x' }]),
    'a way of packing that is none': () => zipOf([{ name: 'a.json', content: record, says: { method: by.below(100) + 1 } }]),
    'records that are nasty': () => zipOf(Array.from({ length: 3 }, (_, at) => ({ name: `${at}.json`, content: hostileJson(sound, by).bytes }))),
    empty: () => zipOf([]),
  };
  const [how, make] = by.of(Object.entries(tricks));
  return { how, bytes: make() };
}

/* Tables */

function hostileCsv(sound: SoundFiles, by: Chance): Made {
  const text = by.of(sound.csv);
  const choice = by.next();
  if (choice < 0.35) return damaged(Buffer.from(text), by);
  if (choice < 0.7) {
    // One cell becomes something else.
    const lines = text.split(/\r?\n/);
    const changes = 1 + by.below(4);
    const how: string[] = [];
    for (let count = 0; count < changes; count += 1) {
      const at = by.below(lines.length);
      const cells = (lines[at] ?? '').split(',');
      const cell = by.below(cells.length);
      const nasty = by.of(nastyValues);
      const value = (typeof nasty === 'string' ? nasty : (JSON.stringify(nasty) ?? '')).slice(0, 30_000);
      cells[cell] = by.next() < 0.3 ? `"${value}` : value;
      lines[at] = cells.join(',');
      how.push(`line ${at + 1} cell ${cell + 1} = ${value.slice(0, 20)}`);
    }
    return { how: how.join('; '), bytes: Buffer.from(lines.join('\n')) };
  }
  const [head = ''] = text.split(/\r?\n/);
  const tricks: Readonly<Record<string, () => string>> = {
    'a quote that never ends': () => `${head}\n"${'a,b\n'.repeat(50_000)}`,
    'half a million blank lines': () => `${head}\n${'\n'.repeat(500_000)}`,
    'a hundred thousand columns': () => `${head}\n${','.repeat(100_000)}\n${'1,'.repeat(100_000)}`,
    'one line of four million letters': () => 'x'.repeat(4_000_000),
    'quotes without end': () => '"'.repeat(300_000),
    'thirty thousand rows of nonsense': () => `${head}\n${'=cmd|calc!A1,+1,-1,@x,1e999,NaN,∞\n'.repeat(30_000)}`,
    'every delimiter at once': () => `a,b;c\td|e\n${'1,2;3\t4|5\n'.repeat(2000)}`,
    'numbers of ten thousand digits': () => `${head}\n${`${'9'.repeat(10_000)},`.repeat(20)}`,
    'the heading twenty thousand times': () => `${head}\n`.repeat(20_000),
    'dates and times of nowhere': () => `${head}\n99:99:99,rest,heart-rate,72,/min,KT,\n-1:00,exercise,heart-rate,72,/min,KT,\n`,
    nothing: () => '',
    'UTF-16': () => Buffer.from(`\ufeff${text}`, 'utf16le').toString('latin1'),
  };
  const [how, make] = by.of(Object.entries(tricks));
  return { how, bytes: Buffer.from(make()) };
}

/* YAML */

function hostileYaml(sound: SoundFiles, by: Chance): Made {
  const text = by.of(sound.yaml);
  const choice = by.next();
  if (choice < 0.3) return damaged(Buffer.from(text), by);
  const lines = text.split('\n');
  if (choice < 0.65) {
    const how: string[] = [];
    for (let count = 1 + by.below(4); count > 0; count -= 1) {
      const at = by.below(lines.length);
      const line = lines[at] ?? '';
      const value = by.of(['{}', '[]', '~', '"x"', '1e999', '.inf', '.nan', '-1', '0x1f', '!!js/function "x"', '&a [*a]', '*gone', '<<: *a', '|', '9'.repeat(5000), '"\\u0000"', '2001-01-01', 'true', '\t', '[[[[[[[[[[[[[[[[[[[[[[', '__proto__', 'a: b: c']);
      const [change, made] = by.of([
        ['value', line.replace(/:.*$/, `: ${value}`)],
        ['key', line.replace(/^(\s*)[\w-]+:/, '$1__proto__:')],
        ['indent', `${' '.repeat(by.below(12))}${line.trim()}`],
        ['twice', `${line}\n${line}`],
        ['gone', ''],
        ['after', `${line}\n${value}`],
      ] as const);
      lines[at] = made;
      how.push(`${change} of line ${at + 1}: ${value.slice(0, 20)}`);
    }
    return { how: how.join('; '), bytes: Buffer.from(lines.join('\n')) };
  }
  const tricks: Readonly<Record<string, () => string>> = {
    'aliases that grow to a billion': () => `a: &a [x,x,x,x,x,x,x,x,x]\n${'bcdefghij'.split('').map((name, at) => `${name}: &${name} [${`*${'abcdefghi'[at]},`.repeat(9)}]`).join('\n')}\n${text}`,
    'an alias that holds itself': () => `a: &a [*a]\n${text}`,
    'lists 20,000 deep': () => '['.repeat(20_000),
    'groups 5,000 deep': () => '{a: '.repeat(5000),
    'groups by indent, 1,000 deep': () => Array.from({ length: 400 }, (_, at) => `${' '.repeat(at)}a:`).join('\n'),
    'dashes on one line': () => '- '.repeat(20_000),
    'question marks on one line': () => '? '.repeat(20_000),
    'a merge of itself': () => `a: &a\n  <<: *a\n${text}`,
    'tags that would run': () => `title: !!python/object/apply:os.system ["ls"]\nx: !!js/function "function(){}"\n${text}`,
    'many documents': () => '---\n'.repeat(20_000),
    'a scalar of 190,000 letters': () => `title: ${'a'.repeat(190_000)}`,
    'a scalar beyond the limit': () => `title: ${'a'.repeat(300_000)}`,
    'thirty thousand keys': () => Array.from({ length: 15_000 }, (_, at) => `k${at}: 1`).join('\n'),
    'one key thirty thousand times': () => 'title: 1\n'.repeat(20_000),
    'its prototype named': () => `__proto__:\n  polluted: true\nconstructor:\n  prototype:\n    polluted: true\n${text}`,
    'quotes without end': () => `title: "${'\\'.repeat(50_000)}`,
    'control characters': () => `title: \u0007\u001b[31m\n${text}`,
    directives: () => `%YAML 1.1\n%TAG ! tag:evil,2000:\n---\n${text}`,
    nothing: () => '',
    'UTF-16': () => Buffer.from(`\ufeff${text}`, 'utf16le').toString('latin1'),
  };
  const [how, make] = by.of(Object.entries(tricks));
  return { how, bytes: Buffer.from(make()) };
}
