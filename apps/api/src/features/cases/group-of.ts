import { AppError } from '../../platform/app-error';
import type { CaseRef } from '../../platform/http/route-server';

/** The reading group for which somebody acts on a case; refused to the practice's side. */
export function groupOf(onCase: CaseRef): string {
  if (onCase.side !== 'group' || onCase.groupId === null)
    throw new AppError('ROLE_MISSING', { needs: 'cardiologist' });
  return onCase.groupId;
}
