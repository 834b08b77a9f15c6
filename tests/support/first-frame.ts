import sharp from 'sharp';
import type { OpenedReferral, Session } from './world';

/** A small JPEG of one grey, as a browser would make it, in base64. */
export async function smallJpeg(grey = 90): Promise<string> {
  const colour = { r: grey, g: grey, b: grey };
  return (
    await sharp({ create: { width: 64, height: 48, channels: 3, background: colour } })
      .jpeg()
      .toBuffer()
  ).toString('base64');
}

export const NO_MACHINE = {
  patientName: null,
  patientNumber: null,
  speciesText: null,
  breedText: null,
  sexText: null,
  birthDate: null,
  weightKg: null,
  scannedOn: null,
  localTime: null,
  heartRate: null,
  manufacturer: null,
  model: null,
  probe: null,
};

/** Announces a file that is on its way, with what its header says of the patient. */
export async function announceFile(
  vet: Session,
  d: OpenedReferral,
  arrivalId: string,
  sizeBytes: number,
  patientName: string | null = null,
): Promise<void> {
  const reply = await vet.put(`/api/practices/${d.practiceId}/arrivals/${arrivalId}`, {
    referralId: d.referralId,
    scanId: d.scanId,
    fileName: 'on-its-way.dcm',
    sizeBytes,
    sha256: null,
    machine: { ...NO_MACHINE, patientName },
  });
  if (reply.status !== 200) throw new Error(reply.raw);
}

export async function putFirstFrame(
  vet: Session,
  d: OpenedReferral,
  arrivalId: string,
  more: Record<string, unknown> = {},
): Promise<{ status: number; raw: string }> {
  return vet.put(`/api/practices/${d.practiceId}/arrivals/${arrivalId}/first-frame`, {
    view: 'rps-long-4ch',
    decision: null,
    jpegBase64: await smallJpeg(),
    ...more,
  });
}
