/** A PDF shown by the browser's own viewer: nothing in it may run or fetch, and no other page may hold it in a frame. */
export const PDF_POLICY = {
  'content-security-policy':
    "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; frame-ancestors 'none'",
} as const;
