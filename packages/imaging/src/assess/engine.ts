/** Raised whenever a method changes what it says; stored with every assessment. */
export const imagingEngine = 'imaging-4';
