import { systemClock } from '../../electron/station/clock.ts';
import { MarkingSets } from '../../electron/station/marking-sets.ts';
import { sheetTexts } from '../../electron/station/sheets.ts';
import { testStation } from '../store/test-station.ts';
import { contractSuite } from './contract-suite.ts';
import { sheetText } from './pair.ts';
import { tempFolder } from './temp-folder.ts';

contractSuite('contract: the station itself, over a store in memory', async () => {
  const { folder, remove } = tempFolder();
  const markingSets = new MarkingSets({ folder, clock: systemClock(), sheets: sheetTexts({ 'treadmill-maximal-bruce.yaml': sheetText }) });
  const { api, stop } = testStation({ markingSets });
  return {
    api,
    prints: false,
    end() {
      markingSets.close();
      stop();
      remove();
    },
  };
});
