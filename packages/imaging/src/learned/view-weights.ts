export const viewHash = '';
export const viewWeightsBase64 = '';
export const viewScales: readonly { readonly count: number; readonly scale: number }[] = [];
