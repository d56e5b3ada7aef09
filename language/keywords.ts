/** Every word of the grammar; a test holds this list to the grammar itself. */
const list = `
  about acceleration accept across angle arm around assembled at author azimuth backlash band bar base
  bearing bed blank blended bought by cam clearance clockwise coil compression constant count counterclockwise
  cross cycloidal deflection density drag drives dry either ends every extension fall fit flange flank flanks
  flat follower forward frame free friction from gear glyphs greased guide harmonic hexagon hidden hold hook
  import inner inside key language late law layer leads let level licence like limits lobe loop lowered made
  margin mark mass master material mean mechanism mesh mitred modified module modulus nose nozzle offset on
  outer overhang pessimistic pivoted plane play pointed poisson polynomial post preload pressure
  process push radius raised ratchet rate return returns reverse revision rise runs screw screws section
  segment segments shaft shape shear shift shown simple sine socket splined spread spring square start stem
  strain stroke teeth thickness tilt times title to trapezoid travel turns undersize velocity wall width
  window wire with
`;

export const keywords: ReadonlySet<string> = new Set(list.trim().split(/\s+/));
