import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hexOf, paletteOf, rgbOf, rgbOfHex } from '../../../../server/outputs/preview/palette.ts';
import {
  axesOf,
  closer,
  frameOf,
  keyedView,
  shiftedBy,
  slanted,
  straight,
  turnedBy,
} from '../../../../server/outputs/preview/viewpoint.ts';

const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, value, i) => sum + value * b[i], 0);

describe('a viewpoint', () => {
  const angles = fc.double({ min: -4, max: 4, noNaN: true });

  it('has three axes square to each other, right-handed, however it is turned', () => {
    fc.assert(
      fc.property(angles, angles, (turn, tilt) => {
        const { right, up, eye } = axesOf(turnedBy(slanted, turn, tilt));
        for (const [a, b] of [[right, up], [up, eye], [eye, right]] as const) expect(dot(a, b)).toBeCloseTo(0, 12); // biome-ignore format: pairs
        for (const axis of [right, up, eye]) expect(dot(axis, axis)).toBeCloseTo(1, 12);
        const across = [right[1] * up[2] - right[2] * up[1], right[2] * up[0] - right[0] * up[2], right[0] * up[1] - right[1] * up[0]]; // biome-ignore format: one vector
        expect(dot(across, eye)).toBeCloseTo(1, 12);
        expect(up[1]).toBeGreaterThan(0);
      }),
    );
  });

  it('from the front shows the face as its reader sees it', () => {
    expect(axesOf(straight)).toEqual({ right: [1, 0, -0], up: [-0, 1, -0], eye: [0, 0, 1] });
  });

  it('takes in all boxes at zoom 1, and no more', () => {
    const boxes = [
      { least: [-30, -50, -40], most: [10, 60, 5] },
      { least: [0, 70, -90], most: [10, 90, -80] },
    ] as const;
    fc.assert(
      fc.property(angles, angles, fc.double({ min: 0.3, max: 4, noNaN: true }), (turn, tilt, aspect) => {
        const view = turnedBy(slanted, turn, tilt);
        const { right, up, eye } = axesOf(view);
        const { middle, half, reach } = frameOf(boxes, view, aspect);
        const corners = boxes.flatMap(({ least, most }) =>
          [0, 1, 2, 3, 4, 5, 6, 7].map((corner) =>
            [0, 1, 2].map((axis) => ((corner >> axis) & 1 ? most : least)[axis] - middle[axis]),
          ),
        );
        const far = (way: readonly number[]) => corners.map((at) => dot(at, way));
        const most = (way: readonly number[]) => Math.max(...far(way).map(Math.abs));
        const fill = Math.max(most(up) / half, most(right) / half / aspect);
        expect(fill).toBeLessThan(1);
        expect(fill).toBeGreaterThan(0.9);
        for (const way of [up, right]) expect(Math.max(...far(way))).toBeCloseTo(-Math.min(...far(way)), 6);
        expect(most(eye)).toBeLessThan(reach + 1e-6);
      }),
    );
  });

  it('has a frame where there is nothing to be seen', () => {
    expect(frameOf([], slanted, 1)).toMatchObject({ middle: [0, 0, 0], reach: 0 });
    expect(frameOf([], slanted, 1).half).toBeGreaterThan(0);
  });

  it('keeps its bounds, and is set back by one key', () => {
    let view = slanted;
    for (let i = 0; i < 200; i++) view = keyedView(keyedView(view, 'ArrowUp', false)!, '+', false)!;
    for (let i = 0; i < 200; i++) view = keyedView(view, 'ArrowRight', true)!;
    expect(view.tilt).toBeLessThan(Math.PI / 2);
    expect(view.zoom).toBeLessThanOrEqual(24);
    expect(view.right).toBeLessThanOrEqual(3);
    expect(keyedView(view, '0', false)).toEqual(slanted);
    expect(keyedView(view, 'q', false)).toBeUndefined();
  });

  it('coming closer keeps what is in the middle there', () => {
    const box = { least: [0, 0, 0], most: [20, 20, 20] } as const;
    const from = shiftedBy(slanted, 0.2, -0.1);
    const [before, after] = [from, closer(from, 2)].map((view) => frameOf([box], view, 1.5));
    for (const axis of [0, 1, 2]) expect(after.middle[axis]).toBeCloseTo(before.middle[axis], 9);
    expect(after.half).toBeCloseTo(before.half / 2, 9);
  });
});

describe('the palette', () => {
  it('reads colours as browsers give them back', () => {
    expect(hexOf(rgbOf('rgb(255, 0, 51)'))).toBe('#ff0033');
    expect(hexOf(rgbOf('rgba(29, 110, 132, 0.5)'))).toBe('#1d6e84');
    expect(hexOf(rgbOf('color(srgb 1 0.5 1e-3)'))).toBe('#ff8000');
    expect(hexOf(rgbOf('none'))).toBe('#808080');
  });

  it.each([
    ['light', '#ffffff', '#3b3b3b', false],
    ['dark', '#1f1f1f', '#cccccc', false],
    ['high contrast', '#000000', '#ffffff', true],
    ['high contrast light', '#ffffff', '#292929', true],
  ] as const)('edges and engraving stand out from the parts: %s', (_, ground, ink, contrast) => {
    const rgb = rgbOfHex;
    const palette = paletteOf({ ground: rgb(ground), ink: rgb(ink), accent: rgb('#1a85ff'), contrast });
    for (const [kind, { plain, lit }] of Object.entries(palette.parts)) {
      for (const { face, engraved } of [plain, lit])
        expect(ratio(face, engraved), `engraved on ${kind}`).toBeGreaterThan(3);
      const outlined = Math.max(ratio(plain.face, palette.ground), ratio(palette.ink, palette.ground));
      expect(outlined, `${kind} on its ground`).toBeGreaterThan(3);
      expect(ratio(plain.face, lit.face), `lit ${kind}`).toBeGreaterThan(1.3);
    }
  });
});

/** Contrast by WCAG 2.2. */
function ratio(one: string, other: string): number {
  const light = (hex: string) => {
    const [r, g, b] = rgbOfHex(hex).map((value) =>
      value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4,
    );
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const [a, b] = [light(one), light(other)].sort((x, y) => y - x);
  return (a + 0.05) / (b + 0.05);
}
