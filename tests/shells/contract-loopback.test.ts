import { Supervisor } from '../../electron/loopback/supervisor.ts';
import { loopbackClient } from '../../renderer/api/loopback-client.ts';
import { contractSuite } from './contract-suite.ts';
import { tempFolder } from './temp-folder.ts';

contractSuite('contract: the loopback shell over HTTP, its station in a process of its own', async () => {
  const { folder, remove } = tempFolder();
  const supervisor = new Supervisor({ folder });
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
    },
  };
});
