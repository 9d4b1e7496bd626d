import { constants } from "node:fs";

/**
 * Opens a file to read it, without waiting where it is a pipe that nobody writes to: such a wait would keep one of the few threads
 * that all files are read by, for ever. What it opened is looked at before it is read. Windows knows no such flag, nor such pipes.
 */
export const readOnly = constants.O_RDONLY | ((constants.O_NONBLOCK as number | undefined) ?? 0);
