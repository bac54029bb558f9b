/**
 * A stand-in for the `electron` module, for running the real main-process code without Electron's binary: what the code
 * registers can be called, what it decides can be read, and the station's process is a real process.
 */
import { fork, type ChildProcess } from 'node:child_process';
import { EventEmitter } from 'node:events';
import { fileURLToPath } from 'node:url';

export interface FrameDouble {
  readonly url: string;
  readonly parent: unknown;
  readonly detached: boolean;
}
type Handler = (event: { readonly senderFrame: FrameDouble | null }, ...args: unknown[]) => Promise<unknown>;

export const ourFrame: FrameDouble = { url: 'stagecall://app/', parent: null, detached: false };

class WebContentsDouble extends EventEmitter {
  readonly sent: { readonly channel: string; readonly message: unknown }[] = [];
  openHandler: ((details: { readonly url: string }) => { readonly action: string }) | undefined;
  send(channel: string, message: unknown): void {
    const copy: unknown = structuredClone(message);
    this.sent.push({ channel, message: copy });
    this.emit('sent', channel, copy);
  }
  setWindowOpenHandler(handler: NonNullable<WebContentsDouble['openHandler']>): void {
    this.openHandler = handler;
  }
}

class WindowDouble extends EventEmitter {
  static readonly all: WindowDouble[] = [];
  static getAllWindows(): WindowDouble[] {
    return [...WindowDouble.all];
  }
  static getFocusedWindow(): WindowDouble | null {
    return WindowDouble.all[0] ?? null;
  }
  readonly webContents = new WebContentsDouble();
  readonly options: unknown;
  address = '';
  shown = false;
  constructor(options: unknown) {
    super();
    this.options = options;
    WindowDouble.all.push(this);
    double.app.emit('web-contents-created', {}, this.webContents);
  }
  async loadURL(address: string): Promise<void> {
    this.address = address;
    queueMicrotask(() => this.emit('ready-to-show'));
  }
  show(): void {
    this.shown = true;
  }
  focused = 0;
  focus(): void {
    this.focused += 1;
  }
  shownInactive = false;
  showInactive(): void {
    this.shownInactive = true;
  }
  getBounds(): { x: number; y: number; width: number; height: number } {
    return { x: 0, y: 0, width: 1366, height: 768 };
  }
  isMinimized(): boolean {
    return false;
  }
  restore(): void {}
  /** The person closes it. */
  close(): void {
    WindowDouble.all.splice(WindowDouble.all.indexOf(this), 1);
    this.emit('closed');
    if (WindowDouble.all.length === 0) double.app.emit('window-all-closed');
  }
}

class AppDouble extends EventEmitter {
  readonly switches = new Map<string, string>();
  readonly paths = new Map<string, string>();
  sandboxed = false;
  quits = 0;
  readonly commandLine = {
    getSwitchValue: (name: string): string => this.switches.get(name) ?? '',
    appendSwitch: (name: string, value: string): void => void this.switches.set(name, value),
  };
  enableSandbox(): void {
    this.sandboxed = true;
  }
  setPath(name: string, value: string): void {
    this.paths.set(name, value);
  }
  requestSingleInstanceLock(): boolean {
    return true;
  }
  async whenReady(): Promise<void> {}
  quit(): void {
    this.quits++;
  }
}

const handlers = new Map<string, Handler>();
const children: ChildProcess[] = [];
let blockers = 0;

export const double = {
  app: new AppDouble(),
  BrowserWindow: WindowDouble,
  Menu: { setApplicationMenu: (): void => {}, buildFromTemplate: (template: unknown): unknown => template },
  dialog: {
    errors: [] as string[],
    saveTo: '',
    /** Which button is pressed, and what was asked. */
    presses: [] as number[],
    asked: [] as { readonly message: string; readonly buttons: readonly string[] }[],
    async showMessageBox(box: { readonly message: string; readonly buttons: readonly string[] }): Promise<{ response: number }> {
      double.dialog.asked.push(box);
      return { response: double.dialog.presses.shift() ?? box.buttons.length - 1 };
    },
    showErrorBox(_title: string, text: string): void {
      double.dialog.errors.push(text);
    },
    async showSaveDialog(): Promise<{ canceled: boolean; filePath: string }> {
      return { canceled: double.dialog.saveTo === '', filePath: double.dialog.saveTo };
    },
  },
  ipcMain: {
    handle(channel: string, handler: Handler): void {
      if (handlers.has(channel)) throw new Error(`${channel} is answered twice`);
      handlers.set(channel, handler);
    },
  },
  powerSaveBlocker: {
    active: new Set<number>(),
    start(): number {
      double.powerSaveBlocker.active.add(++blockers);
      return blockers;
    },
    stop(id: number): void {
      double.powerSaveBlocker.active.delete(id);
    },
  },
  protocol: {
    privileged: [] as unknown[],
    handlers: new Map<string, (request: Request) => Promise<Response>>(),
    registerSchemesAsPrivileged(schemes: unknown[]): void {
      double.protocol.privileged.push(...schemes);
    },
    handle(scheme: string, handler: (request: Request) => Promise<Response>): void {
      double.protocol.handlers.set(scheme, handler);
    },
  },
  screen: {
    displays: [{ id: 1, workArea: { x: 0, y: 0, width: 1366, height: 768 } }],
    getAllDisplays: (): readonly unknown[] => double.screen.displays,
    getDisplayMatching: (): unknown => double.screen.displays[0],
  },
  session: {
    defaultSession: {
      request: undefined as
        | ((contents: unknown, permission: string, callback: (granted: boolean) => void, details: { requestingUrl: string }) => void)
        | undefined,
      check: undefined as
        ((contents: unknown, permission: string, origin: string, details: { requestingUrl?: string }) => boolean) | undefined,
      device: undefined as ((details: { deviceType: string; origin: string }) => boolean) | undefined,
      setPermissionRequestHandler(handler: never): void {
        double.session.defaultSession.request = handler;
      },
      setPermissionCheckHandler(handler: never): void {
        double.session.defaultSession.check = handler;
      },
      setDevicePermissionHandler(handler: never): void {
        double.session.defaultSession.device = handler;
      },
    },
  },
  utilityProcess: {
    /** A real process, in which a few lines stand in for Electron's `process.parentPort`. */
    fork(file: string, args: readonly string[]): EventEmitter & { postMessage(message: unknown): void; kill(): boolean } {
      const child = fork(fileURLToPath(new URL('utility-process-double.ts', import.meta.url)), [file, ...args], {
        execArgv: [],
        stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
        serialization: 'advanced',
      });
      children.push(child);
      const utility = Object.assign(new EventEmitter(), {
        postMessage: (message: unknown) => void (child.connected && child.send(message as object)),
        kill: () => child.kill(),
      });
      child.on('message', (message) => utility.emit('message', message));
      child.once('exit', (code) => utility.emit('exit', code ?? 1));
      return utility;
    },
  },
};

/** What a page's `ipcRenderer.invoke` does: structured copies both ways, and the frame that it comes from. */
export async function invokeAs(frame: FrameDouble | null, channel: string, ...args: unknown[]): Promise<unknown> {
  const handler = handlers.get(channel);
  if (!handler) throw new Error(`No handler registered for '${channel}'`);
  return structuredClone(await handler({ senderFrame: frame }, ...(structuredClone(args) as unknown[])));
}

/** The station's process that runs now. */
export function stationChild(): ChildProcess | undefined {
  return children.findLast(({ exitCode, signalCode }) => exitCode === null && signalCode === null);
}

export function channels(): readonly string[] {
  return [...handlers.keys()];
}
