import type { CaseView, ClipRecord, ViewId } from '@chordae/contract';
import { sayProblem, viewNames } from '@chordae/words';
import { useEffect, useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { type SeenFile, useLooks } from '../../host/looks/looks';
import { type ReadStick, readStick } from '../../host/uploads/read-stick';
import type { UploadItem } from '../../host/uploads/upload-state';
import { uploads } from '../../host/uploads/uploads';
import { useRereadCase } from '../../host/use-case';
import { SenderHints } from '../../kit/clip-hints';
import { ClipPlayer } from '../../kit/clip-player';
import { ClipThumb } from '../../kit/clip-thumb';
import { Problem } from '../../kit/notice';
import { packUrl } from '../pack-url';
import { DropZone } from './drop-zone';
import { FilmedPart } from './filmed-part';
import { GoneAhead } from './gone-ahead';
import { MaskDecision, ReleaseClip } from './mask-decision';
import { ReportPart } from './report-part';
import { SeenHere, sayDifferent } from './seen-here';
import { type FileGroup, goesWithoutAsking, groupFiles } from './stick/group-files';
import { StickDialog } from './stick/stick-dialog';
import { UploadList } from './upload-list';
import { ViewNamer, viewsByKey } from './view-namer';
import { WhatLeaves } from './what-leaves';

/** Clips: dropped, sent, played, each view named by one key. */
export function ClipsPart({
  c,
  items,
  scanIdFor,
  editing,
  held,
}: {
  c: CaseView;
  items: readonly UploadItem[];
  /** The scan that new files belong to; made when it is first needed. null: nothing may be added now. */
  scanIdFor: (() => Promise<string>) | null;
  editing: boolean;
  /** The patient is in distress: no hint asks for more. */
  held: boolean;
}) {
  const [problem, setProblem] = useState<string | null>(null);
  const seen = useLooks({ species: c.patient.species, weightKg: c.patient.weight?.weightKg ?? null });
  useNamedOnTheWay(c, seen);
  const { practiceId, id: referralId } = c.referral;
  const [stick, setStick] = useState<{ groups: FileGroup[]; left: ReadStick['left'] } | null>(null);
  const [reading, setReading] = useState<{ done: number; of: number } | null>(null);
  const take = (files: File[], filmed = false) => {
    setStick(null);
    if (files.length === 0 || !scanIdFor) return;
    scanIdFor()
      .then((scanId) => uploads.add({ practiceId, referralId, scanId, filmed }, files))
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  };
  /** Headers are read before a byte is sent: a stick of several patients is shown as a list to confirm. */
  const add = async (files: File[]) => {
    if (files.length === 0) return;
    setProblem(null);
    // A file that waits for its upload to go on needs no second look.
    if (files.length === 1 && items.some((i) => i.state === 'file-wanted' && i.fileName === files[0]?.name))
      return take(files);
    setReading({ done: 0, of: files.length });
    try {
      sortOut(files, await readStick(files, (done) => setReading({ done, of: files.length })));
    } catch {
      setProblem('The files could not be looked at, and none was sent. Reload the page and pick them again.');
    } finally {
      setReading(null);
    }
  };
  /** Sends what needs no question; all else is shown first. */
  const sortOut = (files: File[], read: ReadStick) => {
    const groups = groupFiles(read.files, c.patient, c.scans.at(-1)?.scannedOn ?? '');
    // One file that is no image is refused in its own line, with its reason, as before.
    if (files.length === 1 && read.left.length === 1) return take(files);
    if (goesWithoutAsking(groups, read.left.length)) return take(read.files.map((f) => f.file));
    setStick({ groups, left: read.left });
  };
  // A file that was read may have something to say as well: an archive, what it held.
  const unreadable = c.arrivals.filter(
    (a) => a.state === 'unreadable' || a.state === 'duplicate' || (a.state === 'read' && a.problem !== null),
  );
  const unpacking = c.arrivals.filter((a) => a.state === 'arrived').length;
  return (
    <section className="part" aria-labelledby="p-clips">
      <h2 id="p-clips">
        Clips <span className="hint">{c.clips.length}</span>
      </h2>
      {scanIdFor ? (
        <DropZone onFiles={(files) => void add(files)} onFilmed={(files) => take(files, true)} />
      ) : null}
      {reading && reading.of > 3 ? (
        <p className="hint" role="status">
          Looking at what the files are: {reading.done} of {reading.of}.
        </p>
      ) : null}
      {stick ? (
        <StickDialog
          practiceId={c.referral.practiceId}
          patient={c.patient}
          groups={stick.groups}
          left={stick.left}
          onTake={(files) => take(files)}
          onClose={() => setStick(null)}
        />
      ) : null}
      {problem ? <Problem>{problem}</Problem> : null}
      <UploadList
        items={items}
        beside={(item) => {
          const file = seen.get(item.arrivalId);
          if (item.state === 'refused' || item.state === 'known') return null;
          return (
            <>
              <GoneAhead arrivalId={item.arrivalId} fileName={item.fileName} />
              {file ? (
                <SeenHere c={c} arrivalId={item.arrivalId} fileName={item.fileName} seen={file} held={held} />
              ) : null}
            </>
          );
        }}
      />
      {unpacking > 0 ? (
        <p className="hint" role="status">
          {unpacking} {unpacking === 1 ? 'file is' : 'files are'} being unpacked.
        </p>
      ) : null}
      <ul className="plain-list">
        {unreadable.map((a) => (
          <li key={a.id} className="hint">
            <b>{a.fileName}</b>:{' '}
            {a.state === 'duplicate'
              ? 'already here; it was recognised and not stored twice.'
              : a.problem
                ? sayProblem(a.problem)
                : 'could not be read; the original is kept.'}
          </li>
        ))}
      </ul>
      <ReportPart c={c} editing={editing} />
      {c.clips.length > 0 ? <Gallery c={c} editing={editing} held={held} seen={seen} /> : null}
    </section>
  );
}

/** A view that was named while the file was on its way is given to its clip once the server has read it. */
function useNamedOnTheWay(c: CaseView, seen: ReadonlyMap<string, SeenFile>) {
  const given = useRef(new Set<string>());
  const reread = useRereadCase({ practiceId: c.referral.practiceId, referralId: c.referral.id });
  useEffect(() => {
    for (const arrival of c.arrivals) {
      const view = seen.get(arrival.id)?.view;
      const clip = c.clips.find((x) => x.id === arrival.clipId);
      if (!view || !clip || clip.view !== null || given.current.has(clip.id)) continue;
      given.current.add(clip.id);
      call('patchClip', { params: { practiceId: c.referral.practiceId, clipId: clip.id }, body: { view } })
        .then(reread)
        .catch(() => given.current.delete(clip.id));
    }
  }, [c.arrivals, c.clips, seen]);
}

function Gallery({
  c,
  editing,
  held,
  seen,
}: {
  c: CaseView;
  editing: boolean;
  held: boolean;
  seen: ReadonlyMap<string, SeenFile>;
}) {
  const [chosen, setChosen] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const reread = useRereadCase({ practiceId: c.referral.practiceId, referralId: c.referral.id });
  const at = Math.max(
    0,
    c.clips.findIndex((clip) => clip.id === chosen),
  );
  const clip = c.clips[at];
  if (!clip) return null;
  const go = (by: number) => setChosen(c.clips[(at + by + c.clips.length) % c.clips.length]?.id ?? null);
  const name = (view: ViewId | null) => {
    setProblem(null);
    call('patchClip', { params: { practiceId: c.referral.practiceId, clipId: clip.id }, body: { view } })
      .then(reread)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
    const next = c.clips.findIndex((other, n) => n > at && other.view === null);
    if (view !== null && next >= 0) setChosen(c.clips[next]?.id ?? null);
  };
  return (
    <div
      className="gallery"
      role="group"
      aria-label="Clips and their views"
      onKeyDown={(event) => {
        if ((event.target as HTMLElement).matches('input, textarea, select')) return;
        if (event.metaKey || event.ctrlKey || event.altKey) return;
        const view = editing ? viewsByKey(c.referral.plan, c.patient.species).get(event.key) : undefined;
        if (event.key === 'ArrowDown') go(1);
        else if (event.key === 'ArrowUp') go(-1);
        else if (view) name(view);
        else return;
        event.preventDefault();
      }}
    >
      <div className="gallery-main">
        <div
          className="gallery-player"
          tabIndex={0}
          role="group"
          aria-label={`Clip ${clip.number}, keys act here`}
        >
          <ClipPlayer key={clip.id} url={packUrl(c, clip.id)} label={clipLabel(clip)} />
        </div>
        <ClipFacts clip={clip} />
        <FilmedPart c={c} clip={clip} editing={editing} />
        <SenderHints assessment={clip.assessment} held={held} off={c.marksOff} />
        <Different c={c} clip={clip} seen={seen} />
        {problem ? <Problem>{problem}</Problem> : null}
        {clip.held ? <ReleaseClip c={c} clip={clip} editing={editing} /> : null}
        {clip.mask === 'needs-decision' ? (
          <MaskDecision key={clip.id} c={c} clip={clip} />
        ) : (
          <WhatLeaves key={clip.id} c={c} clip={clip} editing={editing} />
        )}
        {editing ? <ViewNamer c={c} clip={clip} onName={name} /> : null}
      </div>
      <ul className="strip" aria-label="All clips">
        {c.clips.map((other) => (
          <li key={other.id}>
            <button
              type="button"
              className="strip-clip"
              aria-pressed={other.id === clip.id}
              aria-label={`Show ${clipLabel(other)}`}
              onClick={() => setChosen(other.id)}
            >
              <ClipThumb url={packUrl(c, other.id)} label={`First frame of clip ${other.number}`} />
              <span>
                {other.number}. {other.view ? viewNames[other.view] : 'view not named'}
              </span>
              {other.mask === 'needs-decision' ? <span className="must">name in the picture?</span> : null}
              {other.held ? <span className="must">held back</span> : null}
            </button>
          </li>
        ))}
      </ul>
      <p className="hint">
        Keys: <kbd className="key">↑</kbd> <kbd className="key">↓</kbd> clip, <kbd className="key">space</kbd>{' '}
        play, <kbd className="key">←</kbd> <kbd className="key">→</kbd> frame
        {editing ? ', the keys below name the view' : ''}.
      </p>
    </div>
  );
}

function Different({
  c,
  clip,
  seen,
}: {
  c: CaseView;
  clip: ClipRecord;
  seen: ReadonlyMap<string, SeenFile>;
}) {
  const arrival = c.arrivals.find((a) => a.clipId === clip.id);
  const said = sayDifferent(arrival ? seen.get(arrival.id) : undefined, clip, c.marksOff);
  return said ? <p className="hint">{said}</p> : null;
}

export function clipLabel(clip: ClipRecord): string {
  return `clip ${clip.number}, ${clip.view ? viewNames[clip.view] : 'view not named'}`;
}

function ClipFacts({ clip }: { clip: ClipRecord }) {
  const { description: d } = clip;
  const usable = d.regions.some((r) => r.usable && r.unitY === 'cm');
  return (
    <div className="clip-facts hint">
      <p>
        <b>Clip {clip.number}</b>
        {clip.fileName ? `, ${clip.fileName}` : ''}: {d.kind === 'still' ? 'still' : `${d.frameCount} frames`}
        , {d.widthPx} × {d.heightPx},{' '}
        {usable ? 'calibrated' : 'no calibration: nothing in mm can be measured on it'}
      </p>
      {d.problems.map((p) => (
        <p key={p.code}>{sayProblem(p)}</p>
      ))}
    </div>
  );
}
