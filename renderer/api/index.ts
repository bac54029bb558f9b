/**
 * The one module of the window that speaks to its shell. The rest of the window does not know which shell it is in:
 * it gets a `StationApi`, what the shell can do (`about.capabilities`), and a way to hand a file to the person.
 */
import type { ExportedFile, StationAbout, StationApi } from '../../core/contract/contract.ts';
import { SHELL_GLOBAL, type ShellGlobal } from '../../core/contract/shell-global.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { loopbackClient } from './loopback-client.ts';
import { shellClient } from './shell-client.ts';
import { bytesOf } from '../shared/base64.ts';

export interface Station extends StationApi {
  readonly about: StationAbout;
  /** Hands a file to the person: a dialog where the shell has one, else a download. */
  saveFile(file: ExportedFile): Promise<Result<{ readonly saved: boolean; readonly where?: string }>>;
  /** Opens the second window on a session; undefined where the shell cannot. */
  readonly openWall?: ((session: string) => Promise<Result<{ readonly opened: boolean }>>) | undefined;
}

/**
 * Finds the shell and asks it what it is. Waits as long as the station needs to start.
 * @returns failure with the station's own words where it cannot work: a damaged record, a folder that cannot be written.
 */
export async function connect(): Promise<Result<Station>> {
  const shell = theShell();
  const api = reach();
  const about = await api.call('station.about', {});
  if (!about.ok) return about;
  return success({
    about: about.value,
    call: (name, input) => api.call(name, input),
    subscribe: (listener) => api.subscribe(listener),
    saveFile: (file) => saveFile(api, about.value, file),
    ...(about.value.capabilities.secondWindow ? { openWall: (session: string) => (shell ? api.call('window.wall', { session }) : openWall(session)) } : {}),
  });
}

const theShell = (): ShellGlobal | undefined => (globalThis as { [SHELL_GLOBAL]?: ShellGlobal })[SHELL_GLOBAL];

/** The bare line to whatever answers: a station, or what tells why there is none. */
export function reach(): StationApi {
  const shell = theShell();
  return shell ? shellClient(shell) : loopbackClient({ address: location.origin, token: takeToken() });
}

const TOKEN_KEY = 'stagecall-token';

/** The token comes in the address's fragment, which no server sees, and is then kept for this window alone. */
function takeToken(): string {
  const given = /[#&]token=([A-Za-z0-9_-]+)/.exec(location.hash)?.[1];
  if (given !== undefined) {
    sessionStorage.setItem(TOKEN_KEY, given);
    const rest = location.hash.replace(/[#&]token=[A-Za-z0-9_-]+/, '').replace(/^&/, '#');
    history.replaceState(history.state, '', location.pathname + location.search + (rest === '#' ? '' : rest));
  }
  return sessionStorage.getItem(TOKEN_KEY) ?? '';
}

/** One second window a station: asked for again it shows the session that was asked for last. */
const WALL = 'stagecall-wall';

/** In a browser the page opens it itself. It gets a copy of this window's session storage, and with it the token. */
async function openWall(session: string): Promise<Result<{ readonly opened: boolean }>> {
  const opened = window.open(`${location.pathname}#/wall/${encodeURIComponent(session)}`, WALL, 'popup,width=1280,height=720');
  if (!opened) return failure('blocked', 'The browser did not let a second window open. Allow pop-ups for this address, then press F9 again.');
  // The keys stay with the recorder.
  opened.blur();
  window.focus();
  return success({ opened: true });
}

async function saveFile(
  api: StationApi,
  about: StationAbout,
  file: ExportedFile,
): Promise<Result<{ readonly saved: boolean; readonly where?: string }>> {
  if (about.capabilities.save === 'dialog') return api.call('file.save', { name: file.name, base64: file.base64 });
  try {
    const bytes = bytesOf(file.base64) as Uint8Array<ArrayBuffer>;
    const address = URL.createObjectURL(new Blob([bytes], { type: file.mime }));
    const link = document.createElement('a');
    link.href = address;
    link.download = file.name;
    link.click();
    // The browser reads it after the click; a minute is ample even for a large class file.
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
    return success({ saved: true });
  } catch (cause) {
    return failure('download', `The file could not be saved (${(cause as Error).message}). Nothing of the record was changed; try again.`);
  }
}
