/** The wording of a scale that the lab is licensed to show. The program brings none of its own: its scales are bare numbers. */
import type { StationProfile } from './schema.ts';

export interface ScaleWording {
  /** The words beside this number, where the lab typed some in. */
  readonly at: (value: number) => string | undefined;
  /** Shown wherever the wording is: by which right the lab shows it. */
  readonly licence: string;
}

/** @returns undefined where the lab has typed in no wording. */
export function rpeWording(profile: StationProfile | undefined): ScaleWording | undefined {
  const scale = profile?.scales.rpe;
  if (!scale) return undefined;
  return { at: (value) => scale.words[String(value)], licence: scale.licence };
}
