import type { OpenWorkstation } from "./workstation.ts";
export const openWorkstation: OpenWorkstation = async () => ({
  kind: "open",
  workstation: { router: {}, serveFilm: async () => new Response(null, { status: 404 }), close: () => {} },
});
