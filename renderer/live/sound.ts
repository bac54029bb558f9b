/** Short tones for calls; each has its equal on the screen (the bar, the count, the words). Off until someone turns them on. */
export type Cue = 'take' | 'set' | 'late' | 'saved' | 'alert';

/** Frequencies in Hz, one short tone each: low for late, two rising for a change to set, three falling where people are called. Own choice, easily told apart. */
const tones: Readonly<Record<Cue, readonly number[]>> = { take: [880], set: [660, 990], late: [330, 330], saved: [1320], alert: [990, 740, 550] };
const LENGTH = 0.12;
const GAP = 0.06;
const LOUDNESS = 0.18;

export class Sound {
  #context: AudioContext | undefined;

  play(cue: Cue): void {
    if (typeof AudioContext === 'undefined') return;
    this.#context ??= new AudioContext();
    const context = this.#context;
    void context.resume();
    for (const [index, frequency] of tones[cue].entries()) {
      const begins = context.currentTime + index * (LENGTH + GAP);
      const tone = context.createOscillator();
      const loudness = context.createGain();
      tone.frequency.value = frequency;
      // A soft edge at both ends, so that nothing clicks.
      loudness.gain.setValueAtTime(0, begins);
      loudness.gain.linearRampToValueAtTime(LOUDNESS, begins + 0.01);
      loudness.gain.setValueAtTime(LOUDNESS, begins + LENGTH - 0.02);
      loudness.gain.linearRampToValueAtTime(0, begins + LENGTH);
      tone.connect(loudness).connect(context.destination);
      tone.start(begins);
      tone.stop(begins + LENGTH);
    }
  }

  close(): void {
    void this.#context?.close();
    this.#context = undefined;
  }
}
