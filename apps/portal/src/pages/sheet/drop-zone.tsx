import type { DragEvent } from 'react';
import { useId, useState } from 'react';
import { droppedFiles } from '../../host/uploads/dropped-files';

/** Files or whole folders, dropped or picked; on a phone or tablet, as a last resort, its camera before the screen. */
export function DropZone({
  onFiles,
  onFilmed,
}: {
  onFiles: (files: File[]) => void;
  /** Absent where nothing may be filmed for. */
  onFilmed?: (files: File[]) => void;
}) {
  const [over, setOver] = useState(false);
  const files = useId();
  const folder = useId();
  const film = useId();
  const photo = useId();
  const drop = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    void droppedFiles(event.dataTransfer).then(onFiles);
  };
  const picked = (input: HTMLInputElement, take = onFiles) => {
    take([...(input.files ?? [])]);
    input.value = '';
  };
  return (
    <div
      className={over ? 'drop drop-over' : 'drop'}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={drop}
    >
      <p>
        Drop clips, films, reports or a whole stick here, as they come from the machine: folders and ZIP
        archives too. What a file is, its content says.
      </p>
      <p className="row">
        <label className="button button-plain" htmlFor={files}>
          Choose files
        </label>
        <input id={files} className="hidden" type="file" multiple onChange={(e) => picked(e.currentTarget)} />
        <label className="button button-plain" htmlFor={folder}>
          Choose a folder
        </label>
        <input
          id={folder}
          className="hidden"
          type="file"
          multiple
          ref={(input) => input?.setAttribute('webkitdirectory', '')}
          onChange={(e) => picked(e.currentTarget)}
        />
      </p>
      {onFilmed ? (
        <details className="drop-film">
          <summary>No file to be had? Film or photograph the screen</summary>
          <p className="hint">
            A last resort. Stand straight before the screen, with its depth scale in the picture and no name,
            no lamp in the glass. It is marked as filmed; ratios can be measured on it, sizes in mm only after
            two known distances were checked.
          </p>
          <p className="row">
            <label className="button button-plain" htmlFor={film}>
              Film the screen
            </label>
            <input
              id={film}
              className="hidden"
              type="file"
              accept="video/*"
              capture="environment"
              onChange={(e) => picked(e.currentTarget, onFilmed)}
            />
            <label className="button button-plain" htmlFor={photo}>
              Photograph the screen
            </label>
            <input
              id={photo}
              className="hidden"
              type="file"
              accept="image/*"
              capture="environment"
              onChange={(e) => picked(e.currentTarget, onFilmed)}
            />
          </p>
        </details>
      ) : null}
    </div>
  );
}
