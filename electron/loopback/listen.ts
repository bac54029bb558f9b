/**
 * Listens on 127.0.0.1. The program's first process opens the door, so that the browser can be started at once and never
 * finds it closed; the station's process takes it over, and opens it anew itself where it has to be started again.
 */
import { createServer, type RequestListener } from 'node:http';
import { createServer as createDoor, type AddressInfo, type Server } from 'node:net';

/** Below the range from which systems hand out ports, so that it is seldom taken. */
export const PREFERRED_PORT = 27_843;

/** A listening socket that nothing answers yet. Whoever comes waits for the process that takes it over. */
export async function openDoor(ports: readonly number[]): Promise<{ readonly door: Server; readonly port: number }> {
  // In the moment before it is handed on it takes callers itself; they are sent away and come again.
  const door = createDoor((caller) => caller.destroy());
  return { door, port: await listenOn(door, ports, 0) };
}

export interface Listening {
  readonly port: number;
  close(): void;
}

/**
 * @param where a door that is open already; or ports, tried in turn, 0 being any free one.
 * @param insistMs for so long the first port is tried again, because an open window waits there (after a restart).
 * @throws the system's error when none of them can be had.
 */
export async function listen(
  app: (port: () => number) => RequestListener,
  where: Server | readonly number[],
  insistMs = 0,
): Promise<Listening> {
  let port = 0;
  const server = createServer(app(() => port));
  if ('address' in where) {
    port = (where.address() as AddressInfo).port;
    await new Promise<void>((resolve, reject) => server.once('error', reject).listen(where, resolve));
  } else port = await listenOn(server, where, insistMs);
  return {
    port,
    close() {
      server.close();
      server.closeAllConnections();
    },
  };
}

async function listenOn(server: Server, ports: readonly number[], insistMs: number): Promise<number> {
  const until = Date.now() + insistMs;
  for (let index = 0; ;) {
    try {
      return await listenOnce(server, ports[index] ?? 0);
    } catch (cause) {
      const code = (cause as NodeJS.ErrnoException).code;
      if (code !== 'EADDRINUSE' && code !== 'EACCES') throw cause;
      if (Date.now() < until) await new Promise((resolve) => setTimeout(resolve, 50));
      else if (++index >= ports.length) throw cause;
    }
  }
}

function listenOnce(server: Server, port: number): Promise<number> {
  return new Promise((resolve, reject) => {
    const failed = (cause: Error): void => reject(cause);
    server.once('error', failed);
    server.listen(port, '127.0.0.1', () => {
      server.off('error', failed);
      resolve((server.address() as AddressInfo).port);
    });
  });
}
