/** Everything that a screen may need, handed down by context. */
import { createContext } from 'svelte';
import type { ExportedFile, StationAbout, StationApi } from '../../core/contract/contract.ts';
import type { Result } from '../../core/result.ts';
import type { Theme } from '../theme/theme.svelte.ts';
import { Help } from './help.svelte.ts';
import { Person } from './person.svelte.ts';
import { Router } from './router.svelte.ts';
import { Station } from './station.svelte.ts';

/** Opens the second window on a session. */
export type OpenWall = (session: string) => Promise<Result<{ readonly opened: boolean }>>;
export type SaveFile = (file: ExportedFile) => Promise<Result<{ readonly saved: boolean; readonly where?: string }>>;

export class App {
  readonly station: Station;
  readonly saveFile: SaveFile;
  /** Undefined where the shell cannot open a second window. */
  readonly openWall: OpenWall | undefined;
  readonly router = new Router();
  readonly theme: Theme;
  readonly person = new Person();
  readonly help = new Help();
  /** True while a screen says itself, in a place of its own, that the station does not answer. */
  saysLost = $state(false);

  constructor(api: StationApi, about: StationAbout, saveFile: SaveFile, theme: Theme, openWall?: OpenWall) {
    this.theme = theme;
    this.station = new Station(api, about);
    this.saveFile = saveFile;
    this.openWall = openWall;
  }
}

export const [getApp, setApp] = createContext<App>();
