/** Version of the rules. Rises with every change that can change an answer; stored with each interpretation. */
export const ENGINE_VERSION = '0.6.0';
