import { testStation } from '../store/test-station.ts';
import { contractSuite } from './contract-suite.ts';

contractSuite('contract: the station itself, over a store in memory', async () => {
  const { api, stop } = testStation();
  return { api, prints: false, end: stop };
});
