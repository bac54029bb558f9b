/** `?scene=mid&rate=0`: the live sheet in that moment. The test reaches the station as `window.station`. */
import '../../../renderer/theme/theme.css';
import { mount } from 'svelte';
import { App } from '../../../renderer/app/app.svelte.ts';
import { Theme } from '../../../renderer/theme/theme.svelte.ts';
import { success } from '../../../core/result.ts';
import Harness from './Harness.svelte';
import { about, StationDouble } from './station-double.ts';
import { scenes, type SceneName } from './scenes.ts';

declare global {
  interface Window {
    station: StationDouble;
    sheetClosed: boolean;
  }
}
const asked = new URLSearchParams(location.search);
const { station, now } = scenes[(asked.get('scene') ?? 'mid') as SceneName]();
station.setClock(now, Number(asked.get('rate') ?? '0'));
window.station = station;
window.sheetClosed = false;
const app = new App(station, about, async () => success({ saved: false }), new Theme());
mount(Harness, { target: document.getElementById('app')!, props: { app, onclosed: () => (window.sheetClosed = true) } });
