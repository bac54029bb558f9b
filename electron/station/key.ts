/** The station's own key: it signs the closing hash of each record, so that a copy can be told from a rewrite. */
import { createHash, createPrivateKey, createPublicKey, generateKeyPairSync, sign, verify, type KeyObject } from 'node:crypto';
import { chmodSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { failure, success, type Result } from '../../core/result.ts';
import { faultOf } from '../store/faults.ts';
import type { Signature } from '../store/store.ts';

export interface StationKey {
  /** Ed25519, SubjectPublicKeyInfo (DER), base64. */
  readonly publicKey: string;
  /** For people: `3f9a-02c7`. */
  readonly shortName: string;
  /** Signs a record's last hash, as its 64 hex digits in ASCII. */
  seal(head: string): Signature;
}

const FILE = 'station-key.pem';

/** `stationKey`, with what may be wrong in words. */
export function readStationKey(folder: string): Result<StationKey> {
  const file = path.join(folder, FILE);
  try {
    return success(stationKey(folder));
  } catch (cause) {
    const fault = faultOf(cause, 'opening', file);
    if (fault) return fault;
    return failure(
      'key-damaged',
      `The station’s key ${file} cannot be read (${(cause as Error).message}). Nothing was changed. Move the file away and start again: a new key is made, and what was signed with the old one keeps its signature.`,
    );
  }
}

/**
 * Reads the station's key, or makes it at the first start. Only this account may read the file.
 * @throws the system's error when the folder cannot be written or the file is not a key.
 */
export function stationKey(folder: string): StationKey {
  const file = path.join(folder, FILE);
  let pem: string;
  try {
    pem = readFileSync(file, 'utf8');
    if (process.platform !== 'win32') chmodSync(file, 0o600);
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code !== 'ENOENT') throw cause;
    pem = generateKeyPairSync('ed25519').privateKey.export({ type: 'pkcs8', format: 'pem' }).toString();
    // Beside it first, so that a crash in between never leaves half a key.
    writeFileSync(`${file}.new`, pem, { mode: 0o600 });
    renameSync(`${file}.new`, file);
  }
  return keyOf(createPrivateKey(pem));
}

/** A key that is kept nowhere: for tests and for a store in memory. */
export function passingKey(): StationKey {
  return keyOf(generateKeyPairSync('ed25519').privateKey);
}

function keyOf(privateKey: KeyObject): StationKey {
  const publicKey = createPublicKey(privateKey).export({ type: 'spki', format: 'der' }).toString('base64');
  return {
    publicKey,
    shortName: shortNameOf(publicKey),
    seal: (head) => ({ head, publicKey, signature: sign(null, Buffer.from(head, 'ascii'), privateKey).toString('base64') }),
  };
}

/** A public key's short name: the start of its SHA-256. */
export function shortNameOf(publicKey: string): string {
  const hex = createHash('sha256').update(Buffer.from(publicKey, 'base64')).digest('hex');
  return `${hex.slice(0, 4)}-${hex.slice(4, 8)}`;
}

/** Whether a signature is of this hash by this key; false for anything that is no key or no signature. */
export function isSealOf({ head, publicKey, signature }: Signature): boolean {
  try {
    const key = createPublicKey({ key: Buffer.from(publicKey, 'base64'), type: 'spki', format: 'der' });
    return key.asymmetricKeyType === 'ed25519' && verify(null, Buffer.from(head, 'ascii'), key, Buffer.from(signature, 'base64'));
  } catch {
    return false;
  }
}
