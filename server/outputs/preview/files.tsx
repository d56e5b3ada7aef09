/** The preview as one self-contained file. Nothing here reads or writes a file. */
import { renderToString } from 'preact-render-to-string';
import type { Reckoned } from '../../protocol.ts';
import { finished } from '../../reckon/pausing.ts';
import { caution } from '../caution.ts';
import chartStyle from '../chart/chart.css';
import { lawful } from '../markup.ts';
import { selfContainedPage } from '../self-contained-page.ts';
import previewStyle from './preview.css';
import { Missing } from './preview.tsx';
import { type PreviewScene, type PreviewShape, sceneOf, shapesOf } from './scene.ts';

/** What the page reads. */
export interface PreviewData {
  readonly scenes: readonly PreviewScene[];
  readonly shapes: readonly PreviewShape[];
}

export interface PreviewOptions {
  /** The text of `out/preview-page.js`, which draws. */
  readonly script: string;
}

/** A page on which the parts are turned and played; without scripts it lists them. */
export function previewHtml(mechanisms: readonly Reckoned[], { script }: PreviewOptions): string {
  const scenes = mechanisms.map((reckoned) => finished(sceneOf(reckoned)));
  const shapes = mechanisms.flatMap((reckoned, i) =>
    finished(
      shapesOf(
        reckoned,
        scenes[i].parts.map(({ shape }) => shape),
      ),
    ),
  );
  const value: PreviewData = {
    scenes,
    shapes: [...new Map(shapes.map((one) => [one.shape, one])).values()],
  };
  return selfContainedPage({
    title: `Parts of ${scenes.map(({ title }) => title).join(', ')}`,
    styles: [chartStyle, previewStyle],
    place: 'preview',
    standing: lawful(renderToString(<Standing scenes={scenes} />)),
    data: { id: 'preview-data', value },
    script,
  });
}

function Standing({ scenes }: { readonly scenes: readonly PreviewScene[] }) {
  return (
    <div class="lw-chart">
      {scenes.map((scene) => (
        <section key={scene.name}>
          <h1>Parts of {scene.title}</h1>
          <p>They are drawn by a script, which does not run here.</p>
          <ul>
            {scene.parts.map(({ name, kind }, i) => (
              <li key={`${name} ${i}`}>
                {name}, {kind}
              </li>
            ))}
          </ul>
          <Missing scene={scene} />
          {scene.stored && <p class="lw-caution">{caution}</p>}
        </section>
      ))}
    </div>
  );
}
