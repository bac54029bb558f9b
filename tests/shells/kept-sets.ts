/** Marking sets in a folder of their own, for a station that a test builds by itself. */
import { systemClock } from '../../electron/station/clock.ts';
import { MarkingSets } from '../../electron/station/marking-sets.ts';
import { sheetTexts } from '../../electron/station/sheets.ts';
import { sheetText } from './pair.ts';
import { tempFolder } from './temp-folder.ts';

export function keptSets(): { readonly markingSets: MarkingSets; end(): void } {
  const { folder, remove } = tempFolder();
  const markingSets = new MarkingSets({ folder, clock: systemClock(), sheets: sheetTexts({ 'treadmill-maximal-bruce.yaml': sheetText }) });
  return {
    markingSets,
    end() {
      markingSets.close();
      remove();
    },
  };
}
