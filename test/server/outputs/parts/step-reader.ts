/** Reads STEP files with a general-purpose geometry kernel (opencascade.js), which shares no code with what writes them. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname } from 'node:path';

const require = createRequire(import.meta.url);

/** What the kernel found in a file. */
export interface ReadStep {
  readonly valid: boolean;
  readonly solids: number;
  readonly shells: number;
  readonly faces: number;
  /** Of the kinds of surface: 'plane', 'cylinder', 'other'. */
  readonly surfaces: Readonly<Record<string, number>>;
  readonly volume: number;
  readonly area: number;
  /** x, y, z from and to, as the kernel bounds it, its tolerance taken off. */
  readonly box: readonly number[];
}

// biome-ignore lint/suspicious/noExplicitAny: the package has no types
let kernel: Promise<any> | undefined;

// biome-ignore lint/suspicious/noExplicitAny: the package has no types
function openCascade(): Promise<any> {
  kernel ??= (async () => {
    const script = require.resolve('opencascade.js/dist/opencascade.wasm.js');
    // The package is written for bundlers; run as a script it wants what a script has.
    const source = readFileSync(script, 'utf8').replace(/export default [^;]+;?\s*$/, '');
    const start = new Function('require', '__dirname', '__filename', `${source}\nreturn opencascade;`)(
      require,
      dirname(script),
      script,
    );
    const wasmBinary = readFileSync(require.resolve('opencascade.js/dist/opencascade.wasm.wasm'));
    return new start({ wasmBinary });
  })();
  return kernel;
}

export async function readStep(text: string): Promise<ReadStep> {
  const oc = await openCascade();
  oc.FS.createDataFile('/', 'part.stp', text, true, true, true);
  try {
    const reader = new oc.STEPControl_Reader_1();
    if (reader.ReadFile('part.stp') !== oc.IFSelect_ReturnStatus.IFSelect_RetDone) throw new Error('not read');
    reader.TransferRoots();
    const shape = reader.OneShape();
    return measured(oc, shape);
  } finally {
    oc.FS.unlink('/part.stp');
  }
}

// biome-ignore lint/suspicious/noExplicitAny: the package has no types
function measured(oc: any, shape: any): ReadStep {
  const kinds = oc.TopAbs_ShapeEnum;
  // biome-ignore lint/suspicious/noExplicitAny: the package has no types
  const each = (kind: any): any[] => {
    const found = [];
    for (const at = new oc.TopExp_Explorer_2(shape, kind, kinds.TopAbs_SHAPE); at.More(); at.Next())
      found.push(at.Current());
    return found;
  };
  const surfaces: Record<string, number> = {};
  const faces = each(kinds.TopAbs_FACE);
  for (const face of faces) {
    const type = new oc.BRepAdaptor_Surface_2(oc.TopoDS.Face_1(face), true).GetType();
    const name =
      type === oc.GeomAbs_SurfaceType.GeomAbs_Plane
        ? 'plane'
        : type === oc.GeomAbs_SurfaceType.GeomAbs_Cylinder
          ? 'cylinder'
          : 'other';
    surfaces[name] = (surfaces[name] ?? 0) + 1;
  }
  const volume = new oc.GProp_GProps_1();
  oc.BRepGProp.VolumeProperties_1(shape, volume, true, false, false);
  const area = new oc.GProp_GProps_1();
  oc.BRepGProp.SurfaceProperties_1(shape, area, false, false);
  const box = new oc.Bnd_Box_1();
  oc.BRepBndLib.Add(shape, box, false);
  const gap = box.GetGap();
  const [least, most] = [box.CornerMin(), box.CornerMax()];
  return {
    valid: new oc.BRepCheck_Analyzer(shape, true).IsValid_2(),
    solids: each(kinds.TopAbs_SOLID).length,
    shells: each(kinds.TopAbs_SHELL).length,
    faces: faces.length,
    surfaces,
    volume: volume.Mass(),
    area: area.Mass(),
    box: [
      ...[least.X(), least.Y(), least.Z()].map((low: number) => low + gap),
      ...[most.X(), most.Y(), most.Z()].map((high: number) => high - gap),
    ],
  };
}
