/**
 * The bridge. Built into one CommonJS file (`dist/preload.cjs`), since a sandboxed preload can be nothing else.
 * Electron's security checklist, item 20: named functions, never `ipcRenderer` or an event object.
 */
import { contextBridge, ipcRenderer, type IpcRendererEvent } from 'electron';
import type { CommandName } from '../core/contract/contract.ts';
import { SHELL_GLOBAL, type ShellGlobal } from '../core/contract/shell-global.ts';
import { CALL, CHANGED, CONNECTED } from './shell/channels.ts';

/** By name, so that the contract's own table (and its validator) stays out of the preload. A missing one does not compile. */
const commands: Readonly<Record<CommandName, true>> = {
  'station.about': true,
  'sheets.list': true,
  'sessions.list': true,
  'session.open': true,
  'record.read': true,
  'record.append': true,
  'rehearsal.rate': true,
  'worksheet.open': true,
  'worksheet.export': true,
  'desk.mark': true,
  'file.save': true,
  'window.wall': true,
  'passphrase.status': true,
  'passphrase.set': true,
  'passphrase.check': true,
  'profile.read': true,
  'profile.save': true,
  'session.erase': true,
  'sessions.erased': true,
  'backups.list': true,
  'backup.restore': true,
  'series.put': true,
  'series.get': true,
  'mapping.get': true,
  'mapping.remember': true,
  'sheet.blank': true,
  'record.data': true,
  'set.list': true,
  'set.create': true,
  'set.open': true,
  'set.read': true,
  'set.history': true,
  'set.append': true,
  'set.add-files': true,
  'set.progress': true,
  'set.stop': true,
  'set.export-marks': true,
  'set.export': true,
  'set.merge': true,
  'set.archive': true,
  'set.class': true,
  'set.key': true,
  'set.feedback': true,
  'session.take': true,
};

const shell = {
  call(name: string, input: unknown): Promise<unknown> {
    if (!Object.hasOwn(commands, name)) return Promise.reject(new Error(`the contract has no command "${name}"`));
    return ipcRenderer.invoke(CALL, name, input);
  },
  subscribe(changed: (change: unknown) => void, connected: (state: boolean) => void): () => void {
    const onChanged = (_event: IpcRendererEvent, change: unknown): void => changed(change);
    const onConnected = (_event: IpcRendererEvent, state: unknown): void => connected(state === true);
    ipcRenderer.on(CHANGED, onChanged);
    ipcRenderer.on(CONNECTED, onConnected);
    void ipcRenderer.invoke(CONNECTED).then((state) => connected(state === true));
    return () => {
      ipcRenderer.off(CHANGED, onChanged);
      ipcRenderer.off(CONNECTED, onConnected);
    };
  },
} satisfies ShellGlobal;

contextBridge.exposeInMainWorld(SHELL_GLOBAL, shell);
