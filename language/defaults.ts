/** What counts where a design says nothing, and why. */
import type { Bed, Law } from './mechanism.ts';

const deg = Math.PI / 180;

/** A default and its reason in a maker's words. */
export interface Default<T> {
  readonly value: T;
  readonly because: string;
}

/** The library's process and material for designs that name none: the same as the library's texts, held by a test. */
export const filament = {
  name: 'filament',
  because: 'as the library’s filament',
  nozzle: 0.4,
  layer: 0.2,
  spread: 0.1,
  clearance: 0.2,
  wall: 0.8,
  drag: 0.3,
} as const;

export const defaultUndersize: Default<number> = {
  value: 0,
  because: 'holes as wide as drawn, where the process does not say that they come out undersize',
};

export const defaultBed: Default<Bed> = {
  value: { width: 220, depth: 220 },
  because: 'as large as those of many printers are, where the process does not say',
};

export const pla = {
  name: 'pla',
  modulus: 3000,
  poisson: 0.35,
  density: 1.24e-3,
  strain: 0.01,
  friction: 0.3,
  greased: 0.1,
  pessimistic: 0.6,
} as const;

export const defaultLaw: Default<Law> = {
  value: { name: 'simple harmonic' },
  because: 'the law where none is given',
};
export const defaultThickness: Default<number> = { value: 3, because: 'the thickness where none is given' };
/** Layers of the process that make a flange. */
export const flangeLayers = 6;
/** `inner` of a flat as a share of `outer`. */
export const innerShare = 0.8;

export const defaultPressureAngle: Default<number> = {
  value: 20 * deg,
  because: 'the standard basic rack of ISO 53',
};

export const defaultPlateThickness: Default<number> = {
  value: 4,
  because: 'room for the heads of the screws, and as much again',
};

/** Thread, mm, and head of the screws of a frame. */
export const defaultScrews = {
  diameter: { value: 3, because: 'the screw in every drawer' },
  head: { value: 'socket', because: 'the head that holds a key best' },
} as const;

export const defaultLimits = {
  pressureAngle: { value: 30 * deg, because: 'the usual limit for a sliding follower' },
  return: { value: 1.5, because: 'half as much again as the friction' },
  shown: { value: 0.9, because: 'a bar reads as shown from nine tenths of its stroke' },
  hidden: { value: 0.1, because: 'a bar reads as hidden up to a tenth of its stroke' },
} as const satisfies Record<string, Default<number>>;
