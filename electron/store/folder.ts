/** The data folder: where it is, and whether records can safely live there. */
import { mkdirSync, readFileSync, statfsSync, statSync } from 'node:fs';
import path from 'node:path';
import { failure, success, type Result } from '../../core/result.ts';
import { codeOf, faultOf } from './faults.ts';

/** Where records are kept unless another folder is named: by `--data`, else by STAGECALL_DATA, else each system's usual place. */
export function dataFolder(asked: string | undefined, env: NodeJS.ProcessEnv, platform: NodeJS.Platform, home: string): string {
  const named = asked ?? env['STAGECALL_DATA'];
  if (named !== undefined && named !== '') return path.resolve(named);
  if (platform === 'win32') return path.win32.join(env['LOCALAPPDATA'] ?? path.win32.join(home, 'AppData', 'Local'), 'Stagecall');
  if (platform === 'darwin') return path.posix.join(home, 'Library', 'Application Support', 'Stagecall');
  return path.posix.join(env['XDG_DATA_HOME'] || path.posix.join(home, '.local', 'share'), 'stagecall');
}

/**
 * Makes the folder if need be, readable by this account alone.
 * @returns failure for a folder that cannot be made, or that lies on a network.
 */
export function readyFolder(folder: string, network: (folder: string) => string | undefined = networkOf): Result<void> {
  const remedy = 'Start with a folder on this machine’s own disk: npm start -- --data FOLDER.';
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    if (!statSync(folder).isDirectory()) return failure('folder-unusable', `${folder} is not a folder. Nothing was changed. ${remedy}`);
  } catch (cause) {
    const fault = faultOf(cause, 'opening', folder);
    if (fault) return fault;
    const code = codeOf(cause);
    if (code === 'ENOTDIR' || code === 'EEXIST' || code === 'ENOENT')
      return failure(
        'folder-unusable',
        `The data folder ${folder} cannot be made: part of its path is a file. Nothing was changed. ${remedy}`,
      );
    throw cause;
  }
  const kind = network(folder);
  if (kind !== undefined) {
    return failure(
      'network-folder',
      `The data folder ${folder} is on a network (${kind}). Locks and flushing cannot be relied on there, so a reading could be lost. Nothing was changed. ${remedy} Copy finished worksheets to the network instead.`,
    );
  }
  return success(undefined);
}

/** File system types as Linux's statfs(2) numbers them, of those that live on another machine. */
const networkMagic: Readonly<Record<number, string>> = {
  0x6969: 'NFS',
  0x517b: 'SMB',
  0xff534d42: 'CIFS',
  0xfe534d42: 'SMB',
  0x5346414f: 'AFS',
  0x564c: 'NCP',
  0x73757245: 'Coda',
  0x00c36400: 'Ceph',
  0x0bd00bd0: 'Lustre',
};
const FUSE = 0x65735546;

/** FUSE holds local and remote file systems; the mount's own type name tells them apart. */
const networkFuse = /^fuse\.(sshfs|rclone|s3fs|davfs2?|glusterfs|gvfsd-fuse|google-drive-ocamlfuse|onedriver|smbnetfs|curlftpfs)$/;

/** @returns the name of the network file system, or undefined for a local one. */
export function networkFileSystem(magic: number, mountType?: string): string | undefined {
  // 32-bit numbers come out signed on some systems
  const known = networkMagic[magic >>> 0];
  if (known !== undefined) return known;
  if (magic >>> 0 === FUSE && mountType !== undefined && networkFuse.test(mountType)) return mountType;
  return undefined;
}

/** The type of the mount that holds a path, from the text of `/proc/self/mounts`: the longest mount point above it. */
export function mountTypeOf(folder: string, mounts: string): string | undefined {
  let best: { point: string; type: string } | undefined;
  for (const line of mounts.split('\n')) {
    const [, rawPoint, type] = line.split(' ');
    if (rawPoint === undefined || type === undefined) continue;
    const point = rawPoint.replace(/\\([0-7]{3})/g, (_, octal: string) => String.fromCharCode(Number.parseInt(octal, 8)));
    const above = folder === point || folder.startsWith(point.endsWith('/') ? point : `${point}/`);
    if (above && (best === undefined || point.length >= best.point.length)) best = { point, type };
  }
  return best?.type;
}

/**
 * Linux: by the file system's own type. Windows: a folder named by its network path (`\\server\share`); a share behind a
 * drive letter is not recognised. macOS: not recognised. DEVELOPERS.md says so.
 */
export function networkOf(folder: string): string | undefined {
  if (process.platform === 'win32') return /^[\\/]{2}[^\\/?.]/.test(folder) ? 'a network path' : undefined;
  if (process.platform !== 'linux') return undefined;
  const magic = statfsSync(folder).type;
  let mountType: string | undefined;
  try {
    mountType = mountTypeOf(folder, readFileSync('/proc/self/mounts', 'utf8'));
  } catch {
    // without /proc the number alone decides
  }
  return networkFileSystem(magic, mountType);
}

/** Bytes that this account may still write on the folder's disk; undefined where the system does not say. */
export function freeBytes(folder: string): number | undefined {
  try {
    const { bavail, bsize } = statfsSync(folder);
    return bavail * bsize;
  } catch {
    return undefined;
  }
}
