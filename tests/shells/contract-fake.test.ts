import { contractSuite } from './contract-suite.ts';
import { fakeStation } from './fake-station.ts';
import { sheetText } from './pair.ts';

contractSuite('contract: the station in memory', async () => ({
  api: fakeStation({ 'treadmill-maximal-bruce.yaml': sheetText }),
  prints: false,
  end: () => {},
}));
