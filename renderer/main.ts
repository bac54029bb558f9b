/** Starts the window: finds the station, then shows the first screen; or says in words why it cannot. */
import './theme/theme.css';
import { mount } from 'svelte';
import { connect, reach } from './api/index.ts';
import { App } from './app/app.svelte.ts';
import Window from './app/Window.svelte';
import CannotStart from './app/CannotStart.svelte';
import { Theme } from './theme/theme.svelte.ts';

const target = document.getElementById('app') as HTMLElement;
const theme = new Theme();
const station = await connect();
if (station.ok) mount(Window, { target, props: { app: new App(station.value, station.value.about, (file) => station.value.saveFile(file), theme, station.value.openWall) } });
else mount(CannotStart, { target, props: { failure: station.error, api: reach() } });
