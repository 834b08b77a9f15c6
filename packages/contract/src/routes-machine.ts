import { z } from 'zod';
import { id } from './ids';
import { machineKey, openScan } from './machine-access';
import { route } from './route';
import { inPractice, vets } from './route-params';

const keepers = ['referring-vet', 'manager'] as const;
const onKey = z.object({ practiceId: id, keyId: id });

/** Keys of a practice's machines, and what such a key may ask besides sending files. */
export const machineRoutes = {
  listMachineKeys: route({
    method: 'GET',
    path: '/api/practices/:practiceId/machine-keys',
    access: { practice: keepers },
    params: inPractice,
    reply: z.array(machineKey),
    summary: 'Keys by which machines of this practice send files',
  }),
  putMachineKey: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/machine-keys/:keyId',
    access: { practice: keepers },
    params: onKey,
    body: z.object({ name: z.string().trim().min(1, 'name: say which machine it is for').max(80) }),
    reply: machineKey.extend({ key: z.string() }),
    summary: 'Make a key; it is shown this once',
  }),
  revokeMachineKey: route({
    method: 'POST',
    path: '/api/practices/:practiceId/machine-keys/:keyId/revoke',
    access: { practice: keepers },
    params: onKey,
    body: z.object({}),
    reply: z.object({ ok: z.literal(true) }),
    summary: 'Make a key worthless, from the next request on',
  }),
  machineSelf: route({
    method: 'GET',
    path: '/api/machine',
    access: 'member',
    machine: true,
    reply: z.object({ practiceId: id, practiceName: z.string(), keyName: z.string() }),
    summary: 'Whose key this is; for machines only',
  }),
  openScans: route({
    method: 'GET',
    path: '/api/practices/:practiceId/open-scans',
    access: { practice: vets },
    machine: true,
    params: inPractice,
    reply: z.array(openScan),
    summary: 'Cases of the last 30 days that take files now',
  }),
} as const;
