/** Runs a built preload as a sandboxed renderer would: CommonJS, and only the modules that a sandboxed preload may require. */
import { readFileSync } from 'node:fs';
import vm from 'node:vm';
import type { ShellGlobal } from '../../core/contract/shell-global.ts';

/** Electron's own list for sandboxed preloads (docs/tutorial/sandbox.md). */
const permitted = new Set(['electron', 'events', 'timers', 'url', 'node:events', 'node:timers', 'node:url']);

export interface RendererDouble {
  invoke(channel: string, ...args: unknown[]): Promise<unknown>;
  on(channel: string, listener: (event: unknown, message: unknown) => void): void;
  off(channel: string, listener: (event: unknown, message: unknown) => void): void;
}

/** @returns what the preload put into the page, by name. */
export function runPreload(
  file: string,
  ipcRenderer: RendererDouble,
): { readonly exposed: Readonly<Record<string, unknown>>; readonly required: readonly string[] } {
  const exposed: Record<string, unknown> = {};
  const required: string[] = [];
  const electron = { contextBridge: { exposeInMainWorld: (name: string, value: unknown) => void (exposed[name] = value) }, ipcRenderer };
  const require = (name: string): unknown => {
    required.push(name);
    if (!permitted.has(name)) throw new Error(`a sandboxed preload may not require "${name}"`);
    if (name !== 'electron') throw new Error(`not needed so far: "${name}"`);
    return electron;
  };
  vm.runInNewContext(readFileSync(file, 'utf8'), { require, module: { exports: {} }, exports: {}, console });
  return { exposed, required };
}

export function shellGlobalOf(exposed: Readonly<Record<string, unknown>>): ShellGlobal {
  return exposed['stagecallShell'] as ShellGlobal;
}
