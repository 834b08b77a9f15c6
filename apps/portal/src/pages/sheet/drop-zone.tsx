import type { DragEvent } from 'react';
import { useId, useState } from 'react';
import { droppedFiles } from '../../host/uploads/dropped-files';

/** Files or whole folders, dropped or picked. */
export function DropZone({ onFiles }: { onFiles: (files: File[]) => void }) {
  const [over, setOver] = useState(false);
  const files = useId();
  const folder = useId();
  const drop = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    void droppedFiles(event.dataTransfer).then(onFiles);
  };
  const picked = (input: HTMLInputElement) => {
    onFiles([...(input.files ?? [])]);
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
    </div>
  );
}
