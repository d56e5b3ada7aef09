/** The preview's webview: draws what the extension sends, asks for the shapes that it lacks, tells what was clicked. */
import { render } from 'preact';
import chartStyle from '../../server/outputs/chart/chart.css';
import previewStyle from '../../server/outputs/preview/preview.css';
import { Preview } from '../../server/outputs/preview/preview.tsx';
import type { PreviewShape } from '../../server/outputs/preview/scene.ts';
import type { FromPreview, PreviewState, ToPreview } from '../../server/protocol.ts';
import ownStyle from '../chart/webview.css';

declare function acquireVsCodeApi(): {
  postMessage(message: FromPreview): void;
  /** Kept by the editor for when it restores the panel. */
  setState(state: { readonly uri: string }): void;
};

const editor = acquireVsCodeApi();
const place = document.getElementById('page')!;

let state: PreviewState | null = null;
let shapes: readonly PreviewShape[] = [];
let cursor: { readonly mechanism: string; readonly part?: string } | undefined;

function draw(): void {
  const { mechanisms = [], scene, stale } = state ?? {};
  render(
    <Preview
      key={state?.uri}
      mechanisms={mechanisms}
      scene={scene}
      shapes={shapes}
      lit={cursor?.mechanism === scene?.name ? cursor?.part : undefined}
      stale={stale?.reason}
      onSelect={({ place }) => editor.postMessage({ type: 'select', place })}
      onChoose={(mechanism) => editor.postMessage({ type: 'choose', mechanism })}
    />,
    place,
  );
}

/** Keeps the shapes that the scene still shows, and asks for those that are new. */
function askForShapes({ scene }: PreviewState): void {
  const wanted = new Set(scene.parts.map(({ shape }) => shape));
  shapes = shapes.filter(({ shape }) => wanted.has(shape));
  for (const { shape } of shapes) wanted.delete(shape);
  if (wanted.size > 0) editor.postMessage({ type: 'shapes', mechanism: scene.name, shapes: [...wanted] });
}

window.addEventListener('message', ({ data }: MessageEvent<ToPreview>) => {
  switch (data.type) {
    case 'state':
      if (data.state?.uri !== state?.uri) cursor = undefined;
      state = data.state;
      if (state) {
        editor.setState({ uri: state.uri });
        askForShapes(state);
      }
      break;
    case 'shapes': {
      const known = new Set(shapes.map(({ shape }) => shape));
      shapes = [...shapes, ...data.shapes.filter(({ shape }) => !known.has(shape))];
      break;
    }
    case 'cursor':
      cursor = data;
      break;
  }
  draw();
});

const style = new CSSStyleSheet();
style.replaceSync([chartStyle, previewStyle, ownStyle].join('\n'));
document.adoptedStyleSheets = [style];
editor.postMessage({ type: 'ready' });
