import java.nio.file.Files;
import java.nio.file.Path;
import org.bouncycastle.cert.X509CertificateHolder;
import org.bouncycastle.cms.CMSProcessableByteArray;
import org.bouncycastle.cms.CMSSignedData;
import org.bouncycastle.cms.SignerInformation;
import org.bouncycastle.cms.jcajce.JcaSimpleSignerInfoVerifierBuilder;
import org.bouncycastle.jce.provider.BouncyCastleProvider;

/** Pairs of files: a detached CMS and what it signs. Prints for each whether BouncyCastle, which asks for DER, calls it verified. */
public class CheckSignature {
  public static void main(String[] files) throws Exception {
    for (int k = 0; k < files.length; k += 2) {
      byte[] cms = Files.readAllBytes(Path.of(files[k]));
      byte[] content = Files.readAllBytes(Path.of(files[k + 1]));
      System.out.println(verdict(cms, content));
    }
  }

  private static String verdict(byte[] cms, byte[] content) {
    try {
      CMSSignedData signed = new CMSSignedData(new CMSProcessableByteArray(content), cms);
      SignerInformation signer = signed.getSignerInfos().getSigners().iterator().next();
      X509CertificateHolder holder =
          (X509CertificateHolder) signed.getCertificates().getMatches(signer.getSID()).iterator().next();
      return "verified " + signer.verify(
          new JcaSimpleSignerInfoVerifierBuilder().setProvider(new BouncyCastleProvider()).build(holder));
    } catch (Exception e) {
      return "refused " + e.getMessage();
    }
  }
}
