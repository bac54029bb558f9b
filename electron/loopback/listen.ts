/** Listens on 127.0.0.1, on the port that was asked for if that can be had. */
import { createServer, type RequestListener, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';

/** Below the range from which systems hand out ports, so that it is seldom taken. */
export const PREFERRED_PORT = 27_843;

export interface Listening {
  readonly port: number;
  close(): void;
}

/**
 * @param ports tried in turn; 0 is any free one.
 * @param insistMs for so long the first one is tried again, because an open window waits there (after a restart).
 * @throws the system's error when none of them can be had.
 */
export async function listen(app: (port: () => number) => RequestListener, ports: readonly number[], insistMs = 0): Promise<Listening> {
  let port = 0;
  const server = createServer(app(() => port));
  const until = Date.now() + insistMs;
  for (let index = 0; ; ) {
    try {
      port = await listenOnce(server, ports[index] ?? 0);
      return { port, close: () => closeNow(server) };
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

function closeNow(server: Server): void {
  server.close();
  server.closeAllConnections();
}
