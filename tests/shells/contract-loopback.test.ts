import { Supervisor } from '../../electron/loopback/supervisor.ts';
import { loopbackClient } from '../../renderer/api/loopback-client.ts';
import { builtForElectron } from './built-for-electron.ts';
import { contractSuite, type ShellUnderTest } from './contract-suite.ts';
import { tempFolder } from './temp-folder.ts';

async function overHttp(built?: { readonly folder: string; remove(): void }): Promise<ShellUnderTest> {
  const { folder, remove } = tempFolder();
  const supervisor = new Supervisor({ folder, ...(built ? { built: built.folder } : {}) });
  const started = await supervisor.start();
  if (started.kind !== 'ready') throw new Error('another station runs');
  const api = loopbackClient({ address: `http://127.0.0.1:${started.port}`, token: started.token });
  return {
    api,
    prints: true,
    async end() {
      api.close();
      await supervisor.end();
      remove();
      built?.remove();
    },
  };
}

contractSuite('contract: the loopback shell over HTTP, its station in a process of its own', () => overHttp());
contractSuite('contract: the same with the station’s built file, as npm start runs it', async () =>
  overHttp(await builtForElectron('loopback.js', 'mark-child.js')),
);
