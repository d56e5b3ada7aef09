/** A follower's stem in its guide: what the two guide reactions make of a force across the slide. */

/**
 * The guide's drag is μ·k·N for a force N across the nose, with k = (2a + b ∓ μw)/b. `a` mm from the nose to the guide,
 * `b` mm the length that guides, `w` mm the stem's width. `sense` +1: rising, pushed into the guide, where the moment of
 * the friction on the stem's two sides eases the reactions; −1: falling, where it adds to them.
 *
 * Balance of forces and moments of a stem that two points hold at the ends of the guide. Derived here; for sense +1 and
 * the load along the stem it gives F = P/[cos α − μ sin α (2A + B − μw)/B] (H. A. Rothbart (ed.), Cam Design Handbook,
 * §6.3.3, from memory).
 */
export function guideLoad(friction: number, a: number, b: number, w: number, sense: 1 | -1): number {
  return (2 * a + b - sense * friction * w) / b;
}

/**
 * The pressure angle, rad, from which a rising follower locks: tan α = b/[μ(2a + b − μw)], friction at the contact left
 * out. With friction at the contact, α is that of the force: pressure angle + atan μ. π/2 where nothing locks it.
 */
export function jamAngle(friction: number, a: number, b: number, w: number): number {
  const load = friction * guideLoad(friction, a, b, w, 1);
  return load > 0 ? Math.atan(1 / load) : Math.PI / 2;
}
