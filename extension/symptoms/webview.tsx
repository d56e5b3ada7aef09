/** The webview of symptoms: draws what the extension sends, and keeps what is told of it. */
import { render } from 'preact';
import chartStyle from '../../server/outputs/chart/chart.css';
import drawingStyle from '../../server/outputs/chart/drawing.css';
import type { Told } from '../../server/outputs/symptoms/looks.ts';
import { Symptoms } from '../../server/outputs/symptoms/page.tsx';
import symptomsStyle from '../../server/outputs/symptoms/symptoms.css';
import type { FromSymptoms, SymptomsState, ToSymptoms } from '../../server/protocol.ts';
import ownStyle from '../chart/webview.css';

/** What the editor keeps for when it shows the panel again: what was told of each mechanism of one file. */
interface Kept {
  readonly uri: string;
  readonly told: Readonly<Record<string, Told>>;
}

declare function acquireVsCodeApi(): {
  postMessage(message: FromSymptoms): void;
  getState(): Kept | undefined;
  setState(state: Kept): void;
};

const editor = acquireVsCodeApi();
const place = document.getElementById('page')!;

let state: SymptomsState | null = null;
let kept = editor.getState();

function draw(): void {
  render(
    <Symptoms
      key={state?.uri}
      pages={state?.pages ?? []}
      kept={kept?.uri === state?.uri ? kept?.told : undefined}
      stale={state?.stale?.reason}
      onTell={(mechanism, told) => {
        if (!state) return;
        kept = { uri: state.uri, told: { ...(kept?.uri === state.uri && kept.told), [mechanism]: told } };
        editor.setState(kept);
      }}
    />,
    place,
  );
}

window.addEventListener('message', ({ data }: MessageEvent<ToSymptoms>) => {
  state = data.state;
  if (state && kept?.uri !== state.uri) {
    kept = { uri: state.uri, told: {} };
    editor.setState(kept);
  }
  draw();
});

const style = new CSSStyleSheet();
style.replaceSync([drawingStyle, chartStyle, symptomsStyle, ownStyle].join('\n'));
document.adoptedStyleSheets = [style];
editor.postMessage({ type: 'ready' });
