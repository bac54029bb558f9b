/** Packed folders: what is taken out, what is left packed and why. */
import { describe, expect, it } from 'vitest';
import { unzipWorksheets, usualZipLimits } from '../../electron/desk/zip.ts';
import { zipOf, type Packed } from './zip-maker.ts';

const pdf = '%PDF-1.7 and so on';

async function good(files: readonly Packed[], options: Parameters<typeof zipOf>[1] = {}) {
  const answer = await unzipWorksheets(zipOf(files, options));
  if (!answer.ok) throw new Error(`${answer.error.code}: ${answer.error.message}`);
  return { names: answer.value.files.map((file) => [file.folder, file.name, Buffer.from(file.bytes).toString()]), left: answer.value.left.map((one) => [one.code, one.name]) };
}
const refused = async (bytes: Uint8Array, limits = usualZipLimits): Promise<string> => {
  const answer = await unzipWorksheets(bytes, limits);
  return answer.ok ? 'opened' : answer.error.code;
};

describe('what is taken out', () => {
  it('worksheets under their names and folders; clutter of the system is passed over', async () => {
    const files = [
      { name: 'group A/s-1.pdf', content: pdf },
      { name: 'group A/', content: '' },
      { name: 'group B\\late\\s-2.json', content: '{}' },
      { name: 'Ångström.PDF', content: pdf, stored: true },
      { name: '__MACOSX/group A/._s-1.pdf', content: 'x' },
      { name: 'group A/.DS_Store', content: 'x' },
    ];
    expect(await good(files)).toEqual({
      names: [
        ['group A', 's-1.pdf', pdf],
        ['group B/late', 's-2.json', '{}'],
        ['', 'Ångström.PDF', pdf],
      ],
      left: [],
    });
  });
  it('a zip64, with its sizes and its end written in 64 bits', async () => {
    expect(await good([{ name: 'a.pdf', content: pdf, zip64: true }], { zip64End: true })).toEqual({ names: [['', 'a.pdf', pdf]], left: [] });
  });
  it('the sound files beside any that are not', async () => {
    const files: Packed[] = [
      { name: 'good.pdf', content: pdf },
      { name: '../../etc/passwd.pdf', content: 'x' },
      { name: '/absolute.pdf', content: 'x' },
      { name: 'C:\\windows\\a.pdf', content: 'x' },
      { name: 'a\\..\\..\\b.pdf', content: 'x' },
      { name: 'nul\u0000.pdf', content: 'x' },
      { name: 'turned\u202efdp.pdf', content: 'x' },
      { name: `${'long'.repeat(100)}.pdf`, content: 'x' },
      { name: 'GOOD.pdf', content: 'another' },
      { name: 'link.pdf', content: '/etc/passwd', mode: 0o120777 },
      { name: 'locked.pdf', content: 'x', encrypted: true },
      { name: 'inner.zip', content: 'PK' },
      { name: 'hidden.pdf', content: zipOf([{ name: 'a.pdf', content: pdf }]) },
      { name: 'crc.pdf', content: 'abcdef', says: { crc: 1 } },
      { name: 'longer.pdf', content: 'abcdef', says: { size: 3 } },
      { name: 'shorter.pdf', content: 'abcdef', says: { size: 30 } },
      { name: 'shared.pdf', content: 'x', says: { offset: 0 } },
      { name: 'odd.pdf', content: 'x', says: { method: 12 } },
      { name: 'notes.docx', content: 'x' },
      { name: 'blanks.json', content: ' '.repeat(2_000_000) },
      { name: 'huge.json', content: 'x', says: { size: 90 * 1024 * 1024 } },
      { name: 'last.pdf', content: pdf },
    ];
    const { names, left } = await good(files);
    expect(names.map(([, name]) => name)).toEqual(['good.pdf', 'last.pdf']);
    expect(left.map(([code]) => code)).toEqual(['bad-name', 'bad-name', 'bad-name', 'bad-name', 'bad-name', 'bad-name', 'bad-name', 'twice', 'link', 'password', 'nested', 'nested', 'damaged', 'damaged', 'damaged', 'bomb', 'damaged', 'not-a-worksheet', 'bomb', 'too-large']);
    // eslint-disable-next-line no-control-regex -- what is shown holds none
    for (const [, name] of left) expect(name).not.toMatch(/[\u0000-\u001f\u202e]/);
  });
});

describe('what is refused as a whole', () => {
  const small = { ...usualZipLimits, totalBytes: 1_000_000, entries: 50 };
  it('cut short, empty, or no zip behind its first bytes', async () => {
    const whole = zipOf([{ name: 'a.pdf', content: pdf }]);
    expect(await refused(whole.subarray(0, whole.length - 10))).toBe('damaged');
    expect(await refused(Buffer.from('PK\u0003\u0004 and nothing more'))).toBe('damaged');
    expect(await refused(zipOf([]))).toBe('empty');
    expect(await refused(zipOf([{ name: 'a.pdf', content: pdf }], { count: 3 }))).not.toBe('empty');
  });
  it('more than a class hands in: by number, by size', async () => {
    expect(await refused(zipOf(Array.from({ length: 60 }, (_, at) => ({ name: `${at}.pdf`, content: pdf }))), small)).toBe('too-many');
    expect(await refused(zipOf([{ name: 'a.pdf', content: pdf }], { count: 60_000 }))).toBe('too-many');
    const noise = Buffer.from(Array.from({ length: 400_000 }, (_, at) => (at * at * 7919) % 251));
    expect(await refused(zipOf(Array.from({ length: 4 }, (_, at) => ({ name: `${at}.json`, content: noise, stored: true }))), small)).toBe('bomb');
  });
});
