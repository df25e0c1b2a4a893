import { expect, test } from 'vitest';
import { folderDoubt, mountDoubt } from '../../src/store/mount-doubt.js';

const mount = (at: string, type: string, fields = 'shared:1 ') =>
  `36 35 98:0 / ${at} rw,noatime ${fields}- ${type} source rw,errors=continue`;
const root = mount('/', 'ext4');

test.each([
  ['nfs4', 'lies on another machine'],
  ['cifs', 'lies on another machine'],
  ['fuse.sshfs', 'lies on another machine'],
  ['9p', 'is lent by another system'],
  ['virtiofs', 'is lent by another system'],
  ['overlay', 'goes when its container does'],
  ['tmpfs', 'is memory alone'],
  ['vfat', 'keeps no journal'],
])('a data folder on %s is doubted', (type, why) => {
  const said = mountDoubt([root, mount('/srv/van', type)].join('\n'), '/srv/van/data');
  expect(said).toContain(`/srv/van/data is on a disk of the kind ${type}, which ${why}`);
});

test.each(['ext4', 'xfs', 'btrfs', 'zfs', 'f2fs', 'apfs', 'constructor', ''])('one on %s is not', (type) => {
  expect(mountDoubt([root, mount('/srv/van', type)].join('\n'), '/srv/van/data')).toBeUndefined();
});

test('the nearest mount counts, the later of two at one place, and a name that only begins alike does not', () => {
  const lines = [
    root,
    mount('/srv', 'nfs'),
    mount('/srv/disk', 'ext4'),
    mount('/mnt', 'ext4'),
    mount('/mnt', '9p'),
  ];
  const of = (folder: string) => mountDoubt(lines.join('\n'), folder) !== undefined;
  expect(['/srv/a', '/srv', '/srv/disk/a', '/srvother', '/mnt/a', '/home'].map(of)).toEqual([
    true,
    true,
    false,
    false,
    true,
    false,
  ]);
});

test('a path with a space, and a line without optional fields, are read', () => {
  const text = [mount('/', 'overlay', ''), mount('/my\\040disk', 'ext4', '')].join('\n');
  expect(mountDoubt(text, '/my disk/data')).toBeUndefined();
  expect(mountDoubt(text, '/my')).toContain('overlay');
  expect(mountDoubt('', '/data')).toBeUndefined();
  expect(mountDoubt('nothing of the kind', '/data')).toBeUndefined();
});

test('the folder of this machine is told by what the system says', () => {
  expect(folderDoubt('/no such folder')).toBeUndefined();
  expect(folderDoubt('/dev/shm')).toContain('tmpfs');
});
