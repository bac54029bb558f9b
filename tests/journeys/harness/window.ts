/** `?people=5000#/class`: the whole window over a class inside the page. For figures and tables of thousands, which no record has to be made for. */
import '../../../renderer/theme/theme.css';
import { mount } from 'svelte';
import type { SetClass } from '../../../core/contract/set-class.ts';
import { success } from '../../../core/result.ts';
import { App } from '../../../renderer/app/app.svelte.ts';
import Window from '../../../renderer/app/Window.svelte';
import { Theme } from '../../../renderer/theme/theme.svelte.ts';
import { inventedClass } from '../../core/class-maker.ts';
import { about, StationDouble } from './station-double.ts';

const people = Number(new URLSearchParams(location.search).get('people') ?? '30');
const set = { id: 'set-spring', title: 'Maximal treadmill test', term: 'Spring', sheet: 'treadmill-maximal-bruce', files: 2 * people, openedWall: '2026-03-02T10:00:00+00:00', archived: false };
const inClass: SetClass = { set: set.id, title: set.title, worksheets: inventedClass(people), waiting: 0 };

const station = new StationDouble();
const known = station.call.bind(station);
station.call = (async (name: string, input: never) => {
  if (name === 'set.list') return success([set]);
  if (name === 'set.class') return success(inClass);
  return known(name as never, input);
}) as typeof station.call;

mount(Window, { target: document.getElementById('app') as HTMLElement, props: { app: new App(station, about, async () => success({ saved: true }), new Theme()) } });
