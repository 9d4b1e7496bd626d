/**
 * Headers that every response of either shell carries. Same-origin isolation is possible because the window loads
 * nothing from elsewhere: scripts, styles, workers and film all come from the one origin.
 */

/** `socketOrigin` is the WebSocket origin the window may call, null where calls go over a message port. */
export function contentSecurityPolicy(socketOrigin: string | null): string {
  return [
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self' blob: data:",
    "media-src 'self' blob:",
    "font-src 'self'",
    "worker-src 'self' blob:",
    `connect-src 'self' blob:${socketOrigin === null ? "" : ` ${socketOrigin}`}`,
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join("; ");
}

export function securityHeaders(policy: string): Readonly<Record<string, string>> {
  return {
    "content-security-policy": policy,
    "cross-origin-embedder-policy": "require-corp",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), display-capture=(), usb=(), serial=(), hid=()",
    "referrer-policy": "no-referrer",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
  };
}
