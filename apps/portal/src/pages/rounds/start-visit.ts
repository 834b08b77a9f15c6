import type { Visit } from '@chordae/contract';
import { call } from '../../host/api';
import { uuidv7 } from '../../host/uuid';
import { EMPTY_PATIENT, type PatientForm, type ReadPatient } from '../referrals/patient-form';
import { patchVisit } from './use-rounds';

/** What a list says about a patient, as the form of a new one: shown to be looked at before it counts. */
export function formOf(visit: Visit): PatientForm {
  const p = visit.planned;
  return {
    ...EMPTY_PATIENT,
    name: p.name,
    species: p.species ?? '',
    breed: p.breedText,
    sex: p.sex ?? '',
    neutered: p.neutered === null ? '' : p.neutered ? 'yes' : 'no',
    birth: p.birth,
    weight: p.weight,
  };
}

/** Makes the patient of a visit in its practice; ids are made once per try, so a repeated request changes nothing. */
export async function makePatient(
  visit: Visit,
  read: ReadPatient,
  day: string,
  ids: { readonly patient: string; readonly weight: string },
): Promise<string> {
  const at = { practiceId: visit.practiceId, patientId: ids.patient };
  const chip = visit.planned.chip === '' ? null : visit.planned.chip;
  await call('putPatient', { params: at, body: { ...read.patient, chip } });
  if (read.weight)
    await call('putWeight', {
      params: { ...at, weightId: ids.weight },
      body: { ...read.weight, weighedOn: day },
    });
  const { keeperName, keeperPhone } = visit.planned;
  if (keeperName !== '' || keeperPhone !== '')
    await call('putKeeper', { params: at, body: { name: keeperName, phone: keeperPhone, email: '' } });
  return ids.patient;
}

/** Opens the scan of a visit: a case of that practice and that patient, without a reading group yet. */
export async function openScan(
  visit: Visit,
  patientId: string,
  day: string,
  ids: { readonly referral: string; readonly scan: string } = { referral: uuidv7(), scan: uuidv7() },
): Promise<string> {
  const plan = visit.planned.plan;
  if (!plan) throw new Error('Choose the question first: it decides what is wanted.');
  const place = { practiceId: visit.practiceId, referralId: ids.referral };
  const opened = await call('putReferral', {
    params: place,
    body: { patientId, groupId: null, plan, scanId: ids.scan, scannedOn: day },
  });
  const { question, note } = visit.planned;
  if (question !== '' || note !== '')
    await call('patchReferral', {
      params: place,
      body: { base: opened.revision, fields: { question, ...(note === '' ? {} : { history: note }) } },
    });
  await patchVisit(visit, { patientId, referralId: ids.referral });
  return ids.referral;
}
