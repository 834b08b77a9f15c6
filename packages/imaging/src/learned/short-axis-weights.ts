export const weightsHash = '';
export const weightsBase64 = '';
export const weightScales: readonly { readonly count: number; readonly scale: number }[] = [];
