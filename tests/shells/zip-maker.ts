/** Writes zips byte by byte, with whatever lie a test wants in them. */
import { crc32, deflateRawSync } from 'node:zlib';

export interface Packed {
  readonly name: string | Uint8Array;
  readonly content: Uint8Array | string;
  readonly stored?: boolean;
  readonly encrypted?: boolean;
  /** Unix mode, in the upper half of the attributes. */
  readonly mode?: number;
  readonly zip64?: boolean;
  /** What the directory says instead of the truth. */
  readonly says?: { readonly size?: number; readonly packedSize?: number; readonly crc?: number; readonly method?: number; readonly offset?: number };
}

const u16 = (value: number): Buffer => {
  const bytes = Buffer.alloc(2);
  bytes.writeUInt16LE(value & 0xffff);
  return bytes;
};
const u32 = (value: number): Buffer => {
  const bytes = Buffer.alloc(4);
  bytes.writeUInt32LE(value >>> 0);
  return bytes;
};
const u64 = (value: number): Buffer => {
  const bytes = Buffer.alloc(8);
  bytes.writeBigUInt64LE(BigInt(value));
  return bytes;
};

/** @param count what the end of the directory says about the number of entries, where that is to be a lie. */
export function zipOf(files: readonly Packed[], { count, zip64End = false }: { readonly count?: number; readonly zip64End?: boolean } = {}): Buffer {
  const parts: Buffer[] = [];
  const directory: Buffer[] = [];
  let offset = 0;
  for (const file of files) {
    const name = Buffer.from(typeof file.name === 'string' ? Buffer.from(file.name, 'utf8') : file.name);
    const content = Buffer.from(typeof file.content === 'string' ? Buffer.from(file.content, 'utf8') : file.content);
    const method = file.says?.method ?? (file.stored === true ? 0 : 8);
    const packed = file.stored === true ? content : deflateRawSync(content);
    const crc = file.says?.crc ?? crc32(content);
    const size = file.says?.size ?? content.length;
    const packedSize = file.says?.packedSize ?? packed.length;
    const flags = 0x800 | (file.encrypted === true ? 1 : 0);
    const sizes = file.zip64 === true ? [u32(0xffffffff), u32(0xffffffff)] : [u32(packedSize), u32(size)];
    const common = [u16(file.zip64 === true ? 45 : 20), u16(flags), u16(method), u16(0), u16(0x5a21), u32(crc), ...sizes, u16(name.length)];
    const extra = file.zip64 === true ? Buffer.concat([u16(1), u16(16), u64(size), u64(packedSize)]) : Buffer.alloc(0);
    const local = Buffer.concat([u32(0x04034b50), ...common, u16(extra.length), name, extra, packed]);
    directory.push(Buffer.concat([u32(0x02014b50), u16(0x0314), ...common, u16(extra.length), u16(0), u16(0), u16(0), u32(((file.mode ?? 0o100644) << 16) >>> 0), u32(file.says?.offset ?? offset), name, extra]));
    parts.push(local);
    offset += local.length;
  }
  const central = Buffer.concat(directory);
  const listed = count ?? files.length;
  const end64 = zip64End
    ? [u32(0x06064b50), u64(44), u16(45), u16(45), u32(0), u32(0), u64(listed), u64(listed), u64(central.length), u64(offset), u32(0x07064b50), u32(0), u64(offset + central.length), u32(1)]
    : [];
  const end = [u32(0x06054b50), u16(0), u16(0), ...(zip64End ? [u16(0xffff), u16(0xffff), u32(0xffffffff), u32(0xffffffff)] : [u16(listed), u16(listed), u32(central.length), u32(offset)]), u16(0)];
  return Buffer.concat([...parts, central, ...end64, ...end]);
}
