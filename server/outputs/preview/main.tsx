/** The script of the page that stands alone: draws it from the data that stand in it. */
import { render } from 'preact';
import type { PreviewData } from './files.tsx';
import { Preview } from './preview.tsx';

const data = document.getElementById('preview-data')?.textContent ?? '{"scenes":[],"shapes":[]}';
const { scenes, shapes } = JSON.parse(data) as PreviewData;
const place = document.getElementById('preview');

function draw(name: string | undefined, lit?: string): void {
  const scene = scenes.find((one) => one.name === name) ?? scenes[0];
  render(
    <Preview
      mechanisms={scenes}
      scene={scene}
      shapes={shapes}
      lit={lit}
      onSelect={({ means: [part] }) => draw(scene?.name, part === lit ? undefined : part)}
      onChoose={draw}
    />,
    place!,
  );
}

if (place) {
  place.replaceChildren();
  draw(undefined);
}
