/** Two small clean designs; an example on a page says only what is special about it. */

function design(name: string, lines: Readonly<Record<string, string>>, table: string): string {
  const body = Object.values(lines).filter((line) => line !== '');
  return `mechanism ${name} {\n${body.map((line) => `  ${line.replaceAll('\n', '\n  ')}\n`).join('')}}\n\n${table}\n`;
}

const lamps = 'glyphs lamps { segments left right   off = blank   low = left   high = left right }';

const board = {
  glyphs: 'glyphs lamps',
  count: 'count off low high',
  shaft: 'shaft axle { at 0 mm, 0 mm   turns clockwise }',
  everyCam: 'every cam { base 20 mm   travel 60 deg }',
  everySegment: 'every segment { stroke 3 mm   nose 1.5 mm }',
  left: 'segment left { azimuth 180 deg   bar 4 mm by 20 mm at -40 mm, 0 mm }',
  right: 'segment right { azimuth 0 deg   bar 4 mm by 20 mm at 40 mm, 0 mm }',
  camL: 'cam camL on axle level 1 drives left',
  camR: 'cam camR on axle level 2 drives right',
  more: '',
};

const geared = {
  glyphs: 'glyphs lamps',
  count: 'count off low high',
  upper: 'shaft upper { at 0 mm, 30 mm   turns clockwise   leads }',
  lower: 'shaft lower { at 0 mm, -30 mm   turns counterclockwise }',
  upperGear: 'gear upperGear on upper { module 1 mm   teeth 60   width 5 mm   mark 270 deg }',
  lowerGear: 'gear lowerGear on lower { module 1 mm   teeth 60   width 5 mm   mark 90 deg }',
  mesh: 'mesh upperGear lowerGear { backlash 0.1 mm }',
  everyCam: 'every cam { base 20 mm   travel 60 deg }',
  everySegment: 'every segment { stroke 3 mm   nose 1.5 mm }',
  left: 'segment left { azimuth 90 deg   bar 20 mm by 4 mm at 0 mm, 70 mm }',
  right: 'segment right { azimuth 270 deg   bar 20 mm by 4 mm at 0 mm, -70 mm }',
  camL: 'cam camL on upper level 1 drives left',
  camR: 'cam camR on lower level 1 drives right',
  more: '',
};

type Changed<T> = { readonly [line in keyof T]?: string } & { readonly table?: string };

/** A ferry's lamp board: three symbols on two bars of one shaft. */
export function lampBoard({ table = lamps, ...changed }: Changed<typeof board> = {}): string {
  return design('LampBoard', { ...board, ...changed }, table);
}

/** The same board with a shaft for each bar, geared 1 : 1. */
export function gearedBoard({ table = lamps, ...changed }: Changed<typeof geared> = {}): string {
  return design('GearedBoard', { ...geared, ...changed }, table);
}

/** The lamp board in a frame, its shaft in bearings. */
export function framedBoard(frame: string, changed: Changed<typeof board> = {}): string {
  const shaft = 'shaft axle { at 0 mm, 0 mm   turns clockwise   bearing 8 mm }';
  return lampBoard({ shaft, more: frame, ...changed });
}

/** The lamp board four times a turn, pushed on by hand: twelve rests, 30° a step. */
export function pushedBoard(push: string, ratchet = 'ratchet click on axle { teeth 12   play 0.5 deg }'): string {
  return lampBoard({
    count: 'count off low high times 4',
    everyCam: 'every cam { base 26 mm   travel 24 deg }',
    more: `${ratchet}\n${push}`,
  });
}

/** The lamp board with one band over the hooks of both bars. */
export function banded(more: string, around = 'around left, right'): string {
  return lampBoard({
    left: 'segment left { azimuth 180 deg   bar 4 mm by 20 mm at -40 mm, 0 mm   hook at -38 mm, 0 mm }',
    right: 'segment right { azimuth 0 deg   bar 4 mm by 20 mm at 40 mm, 0 mm   hook at 38 mm, 0 mm }',
    more: `band rim { ${around}   section 1.5 mm by 1.5 mm   shear 0.4 MPa   ${more} }`,
  });
}
