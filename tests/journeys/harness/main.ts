/** `?scene=mid&rate=0`: the live sheet in that moment. A test reaches the station as `window.station` and changes the scene by `window.showScene`. */
import '../../../renderer/theme/theme.css';
import { mount, unmount } from 'svelte';
import { App } from '../../../renderer/app/app.svelte.ts';
import { Theme } from '../../../renderer/theme/theme.svelte.ts';
import { success } from '../../../core/result.ts';
import Harness from './Harness.svelte';
import { about, type StationDouble } from './station-double.ts';
import { scenes, type SceneName } from './scenes.ts';

declare global {
  interface Window {
    station: StationDouble;
    sheetClosed: boolean;
    showScene: (name: SceneName, rate?: number) => Promise<void>;
  }
}
const target = document.getElementById('app') as HTMLElement;
const theme = new Theme();
let shown: ReturnType<typeof mount> | undefined;

window.showScene = async (name, rate = 0) => {
  if (shown) await unmount(shown);
  const { station, now } = scenes[name]();
  station.setClock(now, rate);
  window.station = station;
  window.sheetClosed = false;
  const app = new App(station, about, async () => success({ saved: false }), theme);
  shown = mount(Harness, { target, props: { app, onclosed: () => (window.sheetClosed = true) } });
};
const asked = new URLSearchParams(location.search);
await window.showScene((asked.get('scene') ?? 'mid') as SceneName, Number(asked.get('rate') ?? '0'));
