export { takePhoto } from '../store/take-photo.js';
