import { readFileSync, realpathSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';

const elsewhere = 'lies on another machine';
const lent = 'is lent by another system';
const fleeting = 'goes when its container does';
const unguarded = 'keeps no journal, and no file for its owner alone';

/** Kinds of file system on which a lock, a flush or shared memory is not kept as a database in WAL needs it. */
const doubtful = new Map<string, string>([
  ...['nfs', 'nfs4', 'cifs', 'smb3', 'smbfs', 'afs', 'ceph', 'davfs'].map(
    (type) => [type, elsewhere] as const,
  ),
  ...['sshfs', 'rclone', 's3fs', 'davfs2', 'glusterfs', 'cephfs'].map(
    (type) => [`fuse.${type}`, elsewhere] as const,
  ),
  ...['9p', 'virtiofs', 'vboxsf', 'prl_fs', 'drvfs', 'fuse.vmhgfs-fuse', 'fuse.grpcfuse'].map(
    (type) => [type, lent] as const,
  ),
  ...['overlay', 'aufs', 'fuse.fuse-overlayfs'].map((type) => [type, fleeting] as const),
  ...['tmpfs', 'ramfs'].map((type) => [type, 'is memory alone and goes with the power'] as const),
  ...['vfat', 'exfat', 'msdos'].map((type) => [type, unguarded] as const),
]);

/**
 * What is to be feared of the disk that a folder lies on, in words; undefined where nothing is. `mountinfo` is the text of
 * /proc/self/mountinfo, `folder` an absolute path without links.
 * @source proc_pid_mountinfo(5); sqlite.org/howtocorrupt.html, section 2, and wal.html, section 1
 */
export function mountDoubt(mountinfo: string, folder: string): string | undefined {
  let under = { at: '', type: '' };
  for (const line of mountinfo.split('\n')) {
    const words = line.split(' ');
    const at = unescaped(words[4] ?? '');
    const type = words[words.indexOf('-') + 1] ?? '';
    // Of two mounts at one place the later one covers the other.
    if (at !== '' && holds(at, folder) && at.length >= under.at.length) under = { at, type };
  }
  const why = doubtful.get(under.type);
  if (why === undefined) return undefined;
  return `${folder} is on a disk of the kind ${under.type}, which ${why}: what is written there can be lost, or damaged by a second program. Keep the data folder on a disk of this machine, and backups elsewhere.`;
}

/** The same of a folder of this machine; nothing is said where the system does not tell. */
export function folderDoubt(folder: string): string | undefined {
  try {
    return mountDoubt(readFileSync('/proc/self/mountinfo', 'utf8'), realpathSync(folder));
  } catch {
    return undefined;
  }
}

/** Whether two folders lie on one disk; of one that is not made yet, where it would be made. False where the system does not tell. */
export function onOneDisk(one: string, other: string): boolean {
  try {
    return diskOf(resolve(one)) === diskOf(resolve(other));
  } catch {
    return false;
  }
}

function diskOf(folder: string): number {
  const found = statSync(folder, { throwIfNoEntry: false });
  return found === undefined ? diskOf(dirname(folder)) : found.dev;
}

function holds(at: string, folder: string): boolean {
  return at === '/' || folder === at || folder.startsWith(`${at}/`);
}

/** The system writes a space, tab, line end or backslash in a path as three octal digits. */
function unescaped(path: string): string {
  return path.replace(/\\([0-7]{3})/g, (_, digits: string) =>
    String.fromCharCode(Number.parseInt(digits, 8)),
  );
}
