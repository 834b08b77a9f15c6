import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import type { CaseRef } from '../../platform/http/route-server';
import { groupOf } from '../cases';
import { openReading } from './opinions.repository';

/** Only the cardiologist who reads may write; everybody of the group may look. */
export async function requireReader(
  tx: ActorTx,
  actor: Actor & { readonly memberId: string },
  onCase: CaseRef,
): Promise<void> {
  groupOf(onCase);
  if (onCase.state !== 'reading' && onCase.state !== 'images-wanted')
    throw new AppError('STATE_CHANGED', { state: onCase.state });
  const reading = await openReading(tx, onCase.practiceId, onCase.referralId);
  if (reading?.memberId !== actor.memberId)
    throw new AppError('ALREADY_TAKEN', { by: reading?.memberName ?? '' });
}
