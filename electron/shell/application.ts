/** Electron's main process: the window around the station. Thin: what it decides is in `policy/`, what it serves in `station/`. */
import { app, BrowserWindow, dialog, Menu, powerSaveBlocker, protocol, screen, session, utilityProcess, type WebContents } from 'electron';
import os from 'node:os';
import path from 'node:path';
import { failure, success, type Result } from '../../core/result.ts';
import { isOurs, schemePrivileges, SCHEME, WINDOW_ADDRESS } from '../policy/address.ts';
import { mayNavigate, newWindowAnswer } from '../policy/navigation.ts';
import { mayChooseDevice, mayHave } from '../policy/permissions.ts';
import { wallAddress, wallOptions } from '../policy/second-window.ts';
import { windowFile } from '../policy/window-files.ts';
import { windowOptions } from '../policy/window-options.ts';
import { dispatch } from '../station/dispatch.ts';
import { dataFolder } from '../store/folder.ts';
import { blankMenu, type BlankMenuItem } from './blank-menu.ts';
import { CALL, CHANGED, CONNECTED } from './channels.ts';
import { register } from './register.ts';
import { saveFile } from './save-file.ts';
import { chooseStrapFor } from './strap-chooser.ts';
import { StationLink, type StationProcess } from './station-link.ts';

/** @param dist the folder of the built files. */
export async function runApplication(dist: string): Promise<void> {
  // Before anything is ready: item 18.
  protocol.registerSchemesAsPrivileged([schemePrivileges]);
  // Item 4: every page, whatever a window's own options say.
  app.enableSandbox();
  const folder = dataFolder(app.commandLine.getSwitchValue('data') || undefined, process.env, process.platform, os.homedir());
  // Browser state beside the records; it also makes the single-instance lock one per data folder.
  app.setPath('userData', path.join(folder, 'electron'));
  if (!app.requestSingleInstanceLock()) {
    app.quit();
    return;
  }
  // Off by default on Linux; the heart-rate strap needs it.
  app.commandLine.appendSwitch('enable-features', 'WebBluetooth,WebBluetoothNewPermissionsBackend');
  app.on('second-instance', showWindow);
  guardContents();
  await app.whenReady();
  guardSession();
  serveWindow(path.join(dist, 'renderer'));
  setMenu([]);
  const link = stationLink(path.join(dist, 'station.js'), folder);
  const preload = path.join(dist, 'preload.cjs');
  answerPages(link, preload);
  keepWindow(link, preload);
  setMenu(
    await blankMenu({
      call: (name, input) => link.call(name, input),
      save: (file) => saveFile(BrowserWindow.getFocusedWindow() ?? undefined, file),
      say: (message) => dialog.showErrorBox('Stagecall', message),
    }),
  );
}

/** The usual menus, and between them what a lab sheet offers without a session. */
function setMenu(blank: readonly BlankMenuItem[]): void {
  Menu.setApplicationMenu(
    Menu.buildFromTemplate([
      ...(process.platform === 'darwin' ? [{ role: 'appMenu' as const }] : []),
      { role: 'fileMenu' },
      ...(blank.length === 0 ? [] : [{ label: 'Lab sheet', submenu: blank.map((paper) => ({ label: paper.label, submenu: [...paper.submenu] })) }]),
      { role: 'editMenu' },
      { role: 'viewMenu' },
      { role: 'windowMenu' },
    ]),
  );
}

function showWindow(): void {
  const [window] = recorders;
  if (window?.isMinimized()) window.restore();
  window?.focus();
}

/** Items 12 to 14, for every page that is ever made. */
function guardContents(): void {
  app.on('web-contents-created', (_event, contents: WebContents) => {
    contents.on('will-navigate', (event) => {
      if (!mayNavigate(event.url)) event.preventDefault();
    });
    contents.on('will-redirect', (event) => {
      if (!mayNavigate(event.url)) event.preventDefault();
    });
    contents.on('will-attach-webview', (event) => event.preventDefault());
    contents.setWindowOpenHandler(() => newWindowAnswer);
    chooseStrapFor(contents);
  });
}

/** Item 5: both ways of asking, and devices. */
function guardSession(): void {
  const own = session.defaultSession;
  own.setPermissionRequestHandler((_contents, permission, callback, details) => callback(mayHave(permission, details.requestingUrl)));
  own.setPermissionCheckHandler((_contents, permission, origin, details) => mayHave(permission, details.requestingUrl ?? origin));
  own.setDevicePermissionHandler((details) => mayChooseDevice(details.deviceType, details.origin));
}

function serveWindow(folder: string): void {
  protocol.handle(SCHEME, async (request) => {
    if (request.method !== 'GET' || !isOurs(request.url)) return new Response('There is nothing at this address.', { status: 404 });
    const { status, headers, body } = await windowFile(folder, new URL(request.url).pathname);
    return new Response(body, { status, headers });
  });
}

function stationLink(file: string, folder: string): StationLink {
  const everyWindow = (channel: string, message: unknown): void => {
    for (const window of BrowserWindow.getAllWindows()) window.webContents.send(channel, message);
  };
  let awake: number | undefined;
  return new StationLink({
    spawn: () => stationProcess(file, folder),
    changed: (change) => everyWindow(CHANGED, change),
    connected: (state) => everyWindow(CONNECTED, state),
    running(count) {
      if (count > 0) awake ??= powerSaveBlocker.start('prevent-display-sleep');
      else if (awake !== undefined) {
        powerSaveBlocker.stop(awake);
        awake = undefined;
      }
    },
  });
}

function stationProcess(file: string, folder: string): StationProcess {
  const child = utilityProcess.fork(file, [folder], { serviceName: 'Stagecall station', stdio: 'inherit' });
  return {
    // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a process, not a window
    post: (message) => child.postMessage(message),
    onMessage: (listener) => void child.on('message', listener),
    onExit: (listener) => void child.on('exit', listener),
    kill: () => void child.kill(),
  };
}

function answerPages(link: StationLink, preload: string): void {
  register(CONNECTED, () => link.isConnected);
  register(CALL, (name, input) => {
    // What only the main process can do; its input is checked like every other.
    if (name === 'window.wall') return dispatch({ 'window.wall': ({ session: id }: { session: string }) => showWall(preload, id) } as never, name, input);
    if (name === 'file.save')
      return dispatch(
        { 'file.save': (file: { name: string; base64: string }) => saveFile(BrowserWindow.getFocusedWindow() ?? undefined, file) } as never,
        name,
        input,
      );
    return link.call(String(name), input);
  });
}

/** The recorder's windows; the second window is none of them. */
const recorders = new Set<BrowserWindow>();
let wall: BrowserWindow | undefined;

/** The one new window that a page may ask for. Asked for again, it shows the session that was asked for last. */
async function showWall(preload: string, id: string): Promise<Result<{ readonly opened: boolean }>> {
  const [recorder] = recorders;
  const shown = wall ?? new BrowserWindow(wallOptions(preload, screen.getAllDisplays(), recorder && screen.getDisplayMatching(recorder.getBounds()).id));
  if (wall === undefined) {
    wall = shown;
    shown.once('closed', () => (wall = undefined));
    // The keys stay with the recorder.
    shown.once('ready-to-show', () => shown.showInactive());
    shown.on('focus', () => [...recorders][0]?.focus());
  }
  try {
    await shown.loadURL(wallAddress(id));
    return success({ opened: true });
  } catch (cause) {
    return failure('not-opened', `The second window could not be opened (${(cause as Error).message}). The test goes on without it.`);
  }
}

/** The recorder's window. Closed in the middle of a test it is opened again; otherwise closing it ends the program. */
function keepWindow(link: StationLink, preload: string): void {
  const open = (): void => {
    const window = new BrowserWindow(windowOptions(preload));
    recorders.add(window);
    window.once('closed', () => {
      recorders.delete(window);
      // With the second window still open, "all closed" does not come.
      if (recorders.size > 0 || wall === undefined) return;
      if (link.running > 0) open();
      else wall.close();
    });
    window.once('ready-to-show', () => window.show());
    window
      .loadURL(WINDOW_ADDRESS)
      .catch((cause: Error) =>
        dialog.showErrorBox(
          'Stagecall',
          `The window could not be loaded (${cause.message}). Nothing of the record was changed. Start again with npm start.`,
        ),
      );
  };
  app.on('window-all-closed', () => {
    if (link.running > 0) return open();
    link.end();
    app.quit();
  });
  open();
}
