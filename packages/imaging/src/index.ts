/** What can be seen in the pictures themselves: frames of luma in, numbers with units, confidence and reasons out. */
export type { GrayFrame } from './gray-frame';
