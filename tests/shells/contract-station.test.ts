import { testStation } from '../store/test-station.ts';
import { contractSuite } from './contract-suite.ts';
import { keptSets } from './kept-sets.ts';

contractSuite('contract: the station itself, over a store in memory', async () => {
  const sets = keptSets();
  const { api, stop } = testStation({ markingSets: sets.markingSets });
  return {
    api,
    prints: false,
    end() {
      stop();
      sets.end();
    },
  };
});
