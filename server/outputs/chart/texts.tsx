/** Texts that stand among lines. */
import { type PlacedText, patchOf } from './placing.ts';
import type { StripText } from './strip-layout.ts';
import { px } from './words.ts';

/** A text on a ground of its own, so that the lines behind it do not cross it. */
export function Words({ placed, class: look }: { placed: PlacedText; class?: string }) {
  const { left, right, top, bottom } = patchOf(placed);
  if (placed.text === '') return null;
  return (
    <g>
      <rect class="lw-ground" x={px(left)} y={px(top)} width={px(right - left)} height={px(bottom - top)} />
      <text class={placed.end ? `${look ?? ''} lw-end` : look} x={px(placed.x)} y={px(placed.y)}>
        {placed.text}
      </text>
    </g>
  );
}

/** A text before its lines; past a limit it is underlined in red. */
export function Label({ placed, quiet }: { placed: StripText; quiet?: boolean }) {
  const { text, x, y, bold, middle, end, over } = placed;
  if (text === '') return null;
  const { left, right } = patchOf(placed);
  // A patch is wider than its text, so that texts never meet.
  const slack = 3 + 0.06 * (right - left);
  const from = middle ? left + slack : end ? left + 2 * slack : left + 3;
  const to = middle ? right - slack : end ? right - 3 : right - 2 * slack;
  const look = [bold ? 'lw-bold' : quiet && 'lw-dim', middle && 'lw-middle', end && 'lw-end'].filter(Boolean).join(' ');
  return (
    <g>
      {over && <path class="lw-over" d={`M${px(from)} ${px(y + 3.5)}H${px(to)}`} />}
      <text class={`lw-small lw-halo ${look}`} x={px(x)} y={px(y)}>
        {text}
      </text>
    </g>
  );
}
